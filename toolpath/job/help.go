package job

import (
	"fmt"
	"io"
	"strings"
)

// tableMeanings says what each table is for; a test holds it complete.
var tableMeanings = map[string]string{
	"":             "the head of the file, before the first table",
	"gear":         "the broken gear",
	"copy":         "gear.form = \"copied\": how the readings were taken",
	"touch.NAME":   "gear.form = \"copied\": one table for each touch of a good tooth's flank with the side of a still cutter; NAME is your own",
	"vernier.NAME": "gear.form = \"copied\": one table for each setting of a gear-tooth vernier on a good tooth; NAME is your own",
	"repair":       "how the tooth comes back",
	"bead":         "a tooth built up by brazing or welding, as it stands before it is cut: for repair.by = \"build-up\", in place of slot, insert, fit and lock",
	"slot":         "the dovetail slot cut into the gear",
	"insert":       "the block the new tooth is made of",
	"fit":          "how slot and insert meet",
	"lock":         "screws or pins up through the rim into the insert",
	"flush":        "bringing the insert's ends and tip down",
	"facets":       "how the flanks are made",
	"index":        "what turns the gear",
	"load":         "what the gear carries, for the strength estimate; leave the table out when not known",
	"uncertainty":  "within what your settings and measurements are known; gives what to expect of the tooth, and how many facets are worth cutting",
	"mate":         "the gear it runs with, to roll the finished tooth against; leave the table out when not known",
	"as_cut":       "what has been measured of work that is done, the same for every tooth to be made: it is not planned again, and what follows is planned to it; 'cogmend gauge --read' writes the lines",
	"machine":      "the mill and its control",
	"cutter.NAME":  "one table for each cutter; NAME is your own",
	"keepout.NAME": "a box never to be touched: vice jaw, clamp, chuck; NAME is your own",
}

// Help writes every key of the job file with what it may be, its default and
// an example, from the table that also checks a job.
func Help(w io.Writer) error {
	var b strings.Builder
	b.WriteString(`A job file is TOML text of at most 1 MiB.
Bare lengths are in the file's units; a text may carry its own: "5 mm", "0.25 in",
"3/16 in", "2 thou", "15 deg", "14 deg 30 min", "300 mm/min". Bare angles are degrees;
a bare fraction, "3/16", stands in inch files only.
`)
	last := "none"
	for i := range schema {
		k := &schema[i]
		if k.Table != last {
			last = k.Table
			if k.Table == "" {
				fmt.Fprintf(&b, "\n%s\n", tableMeanings[""])
			} else {
				fmt.Fprintf(&b, "\n[%s]  %s\n", k.Table, tableMeanings[k.Table])
			}
		}
		fmt.Fprintf(&b, "  %s = %s\n", k.Name, k.Example)
		fmt.Fprintf(&b, "      %s\n", k.Meaning)
		fmt.Fprintf(&b, "      %s; %s\n", k.describe(), k.fallback())
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// describe says what a value may be, as the help has it.
func (k *Key) describe() string {
	what := map[Kind]string{
		Count: "whole number, ", Text: "", Choice: "one of ", Flag: "", Texts: "", Span: "list of two, each ", SizeAt: "size @ pin or teeth, ",
		Lengths: "list, each ", Counts: "list of whole numbers, each ",
	}[k.Kind]
	return what + k.Allowed(MM)
}

// fallback says what holds when the key is not given.
func (k *Key) fallback() string {
	switch {
	case k.Required:
		return "required"
	case k.Default != "":
		return "default " + k.Default
	}
	return "default: " + k.Auto
}
