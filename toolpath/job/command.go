package job

import "strings"

// Command is a whole command line for this job, as it works when copied: the
// command's name, the job's file and what else it is given.
func (j *Job) Command(name string, args ...string) string {
	file := j.File
	if file == "" {
		file = "demo"
	}
	return strings.Join(append([]string{"cogmend", name, quoted(file)}, args...), " ")
}

// quoted is a file name as a shell takes it for one word.
func quoted(name string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("._-/:+,@%", r) || r > 127
	}
	for _, r := range name {
		if !plain(r) {
			return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, `$`, `\$`, "`", "\\`").Replace(name) + `"`
		}
	}
	return name
}
