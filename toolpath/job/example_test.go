package job_test

import (
	"bytes"
	"fmt"

	"cogmend/profiles/geom"
	"cogmend/toolpath/job"
)

// The demo is written in inches and degrees; a Job holds millimetres and radians.
func ExampleDecode() {
	text := job.DemoText()
	j, err := job.Decode("press.toml", text, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d teeth, module %.3f mm, %.1f degrees\n", j.Gear.Teeth, j.Gear.Module, geom.Degrees(j.Gear.Pressure))

	_, err = job.Decode("press.toml", bytes.Replace(text, []byte("\nteeth"), []byte("\nteath"), 1), nil)
	fmt.Println(err)
	// Output:
	// 54 teeth, module 3.175 mm, 14.5 degrees
	// press.toml:8:1: gear: unknown key "teath"; nearest known key: "teeth"
}

// A reading without a unit takes the next one of the text.
func ExampleParseReadings() {
	readings, err := job.ParseReadings("0.922 0.921 in", job.MM)
	for _, r := range readings {
		fmt.Printf("%.4f mm\n", r.Value)
	}
	fmt.Println(err)
	// Output:
	// 23.4188 mm
	// 23.3934 mm
	// <nil>
}
