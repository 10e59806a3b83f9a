package outdir

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// A change of a folder is made in two steps. First all new files are written
// into a stage, a folder of its own. Then the change is committed:
//
//   - Where the system can exchange two folders at one stroke, the stage stands
//     beside the folder and has in it all that shall stay, by hard links; the
//     two change places. Whoever looks sees the whole old set or the whole new
//     one.
//   - Elsewhere the stage stands in the folder. A commit list in it says what
//     is to be done; from then on the new set holds, and what a run that was
//     ended has left undone the next one does, before anything else.
//
// A stage that was not committed is dropped by the next run.
const (
	// outerStage begins the name of a stage beside the folder.
	outerStage = ".cogmend-stage-"
	// innerStage is the name of a stage in the folder.
	innerStage = ".cogmend-stage"
	// newMark stands in a new set until nothing of the old one is left.
	newMark = ".cogmend-new"
	// commitName is the commit list of an inner stage.
	commitName = ".commit"
)

// Change is files to be put into a folder and taken out of it, together.
type Change struct {
	folder *Folder
	stage  string // its path
	outer  bool   // it stands beside the folder
	put    []staged
	gone   []Entry // what is to be taken out, or put something else for
}

// staged is a file in the stage.
type staged struct{ name, digest string }

// Begin makes the stage. The folder must be locked.
func (f *Folder) Begin() (*Change, error) {
	c := &Change{folder: f}
	if f.path != "" && f.beginOuter() {
		c.stage, c.outer = f.outer(), true
		return c, nil
	}
	c.stage = f.inner()
	if err := makeDir(c.stage); err != nil {
		return nil, aboutPath(f.Dir, err)
	}
	return c, nil
}

// inner and outer are the places of the stage.
func (f *Folder) inner() string { return filepath.Join(f.Dir, innerStage) }
func (f *Folder) outer() string {
	return filepath.Join(filepath.Dir(f.path), outerStage+filepath.Base(f.path))
}

// beginOuter makes a stage beside the folder, if the two may change places: a
// folder that is somebody else's, or that this run works in, may not.
func (f *Folder) beginOuter() bool {
	info, err := os.Stat(f.path)
	if err != nil || makeDir(f.outer()) != nil {
		return false
	}
	here, err := os.Stat(".")
	if err == nil && !os.SameFile(here, info) && sameOwner(f.path, f.outer()) &&
		os.Chmod(f.outer(), info.Mode().Perm()) == nil && writeNew(filepath.Join(f.outer(), newMark), nil) == nil {
		return true
	}
	emptyDir(f.outer()) // else the next run does
	return false
}

// Add writes one more file into the stage.
func (c *Change) Add(name string, data []byte) error {
	if err := writeNew(filepath.Join(c.stage, name), data); err != nil {
		return aboutPath(filepath.Join(c.folder.Dir, name), err)
	}
	c.put = append(c.put, staged{name, Digest(data)})
	return nil
}

// AddAll writes files into the stage side by side: each waits for the disk.
func (c *Change) AddAll(files []File) error {
	errs := make([]error, len(files))
	var all sync.WaitGroup
	for i, file := range files {
		c.put = append(c.put, staged{file.Name, Digest(file.Data)})
		all.Go(func() { errs[i] = writeNew(filepath.Join(c.stage, file.Name), file.Data) })
	}
	all.Wait()
	for i, err := range errs {
		if err != nil {
			return aboutPath(filepath.Join(c.folder.Dir, files[i].Name), err)
		}
	}
	return nil
}

// GiveUp says of entries, as they now are, that they are to be taken out of the
// folder, or that something else is put in their place.
func (c *Change) GiveUp(entries ...Entry) { c.gone = append(c.gone, entries...) }

// drops says that an entry of that name is taken out.
func (c *Change) drops(name string) bool {
	return !c.Has(name) && slices.ContainsFunc(c.gone, func(e Entry) bool { return e.Name == name })
}

// Has says that a file of that name is in the stage.
func (c *Change) Has(name string) bool {
	return slices.ContainsFunc(c.put, func(s staged) bool { return s.name == name })
}

// Discard drops the stage. It does nothing after Commit.
func (c *Change) Discard() {
	if c.stage != "" {
		emptyDir(c.stage) // else the next run does
		c.stage = ""
	}
}

// Commit puts all files in place and takes out what is to be dropped. When it
// fails the folder is as it was. What is left undone by a run that is ended
// here, the next one does.
func (c *Change) Commit() error {
	f := c.folder
	if err := f.note(c.put, c.gone); err != nil {
		return aboutPath(f.Dir, err)
	}
	if c.outer {
		if c.commitOuter() == nil {
			c.stage = ""
			f.clearOld()
			return nil
		}
		if err := c.moveIn(); err != nil {
			return aboutPath(f.Dir, err)
		}
	}
	syncDir(c.stage)
	list := filepath.Join(c.stage, commitName)
	if err := writeNew(list+"~", c.list()); err != nil {
		return aboutPath(f.Dir, err)
	}
	if err := rename(list+"~", list); err != nil {
		return aboutPath(f.Dir, err)
	}
	stage := c.stage
	c.stage = ""
	syncDir(stage)
	if err := f.carryOut(); err != nil {
		return aboutPath(f.Dir, err)
	}
	return nil
}

// commitOuter gives the stage all that stays and exchanges it with the folder.
func (c *Change) commitOuter() error {
	f := c.folder
	entries, err := os.ReadDir(f.path)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.IsDir() || c.drops(e.Name()) || c.Has(e.Name()) || e.Name() == newMark {
			continue // folders follow when the two have changed places
		}
		if err := link(filepath.Join(f.path, e.Name()), filepath.Join(c.stage, e.Name())); err != nil {
			return err
		}
	}
	syncDir(c.stage)
	if err := exchange(c.stage, f.path); err != nil {
		return err
	}
	syncDir(filepath.Dir(f.path))
	return nil
}

// moveIn makes an outer stage an inner one, where the two folders cannot change
// places.
func (c *Change) moveIn() error {
	old := c.stage
	c.stage, c.outer = c.folder.inner(), false
	if err := makeDir(c.stage); err != nil {
		return err
	}
	for _, s := range c.put {
		from, to := filepath.Join(old, s.name), filepath.Join(c.stage, s.name)
		if rename(from, to) == nil {
			continue
		}
		data, err := os.ReadFile(from) // another file system
		if err == nil {
			err = writeNew(to, data)
		}
		if err != nil {
			return err
		}
	}
	return emptyDir(old)
}

// list is the commit list: what is to be put and to be dropped, a line each.
func (c *Change) list() []byte {
	var b strings.Builder
	for _, s := range c.put {
		fmt.Fprintf(&b, "put %s\n", s.name)
	}
	for _, e := range c.gone {
		if c.drops(e.Name) {
			fmt.Fprintf(&b, "drop %s %s\n", Digest(e.Data), e.Name)
		}
	}
	return []byte(b.String())
}

// carryOut does what the commit list of the inner stage says, as much of it as
// has not been done.
func (f *Folder) carryOut() error {
	list, err := os.ReadFile(filepath.Join(f.inner(), commitName))
	if err != nil {
		return err
	}
	for line := range strings.Lines(string(list)) {
		word, rest, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		switch word {
		case "put":
			err := rename(filepath.Join(f.inner(), rest), filepath.Join(f.Dir, rest))
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		case "drop":
			digest, name, _ := strings.Cut(rest, " ")
			path := filepath.Join(f.Dir, name)
			have, err := ReadWhole(path, MaxFile)
			if err == nil && Digest(have) == digest {
				err = remove(path)
			}
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	syncDir(f.Dir)
	if err := remove(filepath.Join(f.inner(), commitName)); err != nil {
		return err
	}
	return emptyDir(f.inner())
}

// recover brings a change that was not finished to its end: the new set where
// it was committed, else the old one.
func (f *Folder) recover() error {
	if _, err := os.Lstat(filepath.Join(f.inner(), commitName)); err == nil {
		if err := f.carryOut(); err != nil {
			return err
		}
	} else if _, err := os.Lstat(f.inner()); err == nil {
		if err := emptyDir(f.inner()); err != nil {
			return err
		}
	}
	if f.path == "" {
		return nil
	}
	_, mark := os.Lstat(filepath.Join(f.path, newMark))
	if mark == nil {
		f.clearOld()
	} else {
		emptyDir(f.outer()) // where it cannot be, the next change is made within
	}
	return nil
}

// clearOld takes away the old set, which stands where the stage stood. What it
// holds and nobody has written or given up here, and folders, go into the new
// one. What cannot be done now is done by the next run.
func (f *Folder) clearOld() {
	old := f.outer()
	if list, err := os.ReadDir(old); err == nil {
		known, err := f.known()
		if err != nil {
			return
		}
		for _, e := range list {
			if f.clearOne(filepath.Join(old, e.Name()), e, known) != nil {
				return
			}
		}
		if remove(old) != nil {
			return
		}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return
	}
	remove(filepath.Join(f.path, newMark))
}

func (f *Folder) clearOne(path string, e fs.DirEntry, known *record) error {
	place := filepath.Join(f.path, e.Name())
	there, err := os.Lstat(place)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if !e.IsDir() {
		info, err := os.Lstat(path)
		if err != nil {
			return err
		}
		if there != nil && os.SameFile(info, there) {
			return remove(path)
		}
		if have, err := ReadWhole(path, MaxFile); err == nil && (known.has(e.Name(), Digest(have)) || known.gone[Digest(have)+e.Name()]) {
			return remove(path)
		}
	}
	// It came while the change was made.
	for n := 1; there != nil; n++ {
		place = filepath.Join(f.path, fmt.Sprintf("%s.kept-%d", e.Name(), n))
		if there, err = os.Lstat(place); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return rename(path, place)
}

// Put puts files in place and gives entries up, as one change.
func (f *Folder) Put(files []File, gone []Entry) error {
	c, err := f.Begin()
	if err != nil {
		return err
	}
	defer c.Discard()
	c.GiveUp(gone...)
	if err := c.AddAll(files); err != nil {
		return err
	}
	return c.Commit()
}
