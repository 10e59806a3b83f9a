package profiles

// Rack holds the proportions of a basic rack, in modules.
type Rack struct {
	Name     string  // as a job file writes it, "" for proportions given by number
	Addendum float64 // ha: tip above the pitch line
	Dedendum float64 // hf: root below the pitch line
	Fillet   float64 // rf: radius of the rack's rounded tip, which forms the root
	Source   string  // where the proportions are from
}
