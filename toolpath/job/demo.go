package job

import (
	_ "embed" // for the demo job
	"fmt"
)

//go:embed demo.toml
var demo []byte

// Demo returns the built-in job: a proof press of a community print shop.
func Demo() *Job {
	j, err := Decode("", demo, nil)
	if err != nil {
		panic(fmt.Sprintf("job: the demo: %v", err)) // a test decodes it
	}
	return j
}

// DemoText returns the text of the built-in job file.
func DemoText() []byte { return append([]byte(nil), demo...) }
