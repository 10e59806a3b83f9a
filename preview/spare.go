package preview

import "sync"

// spare keeps memory from one picture for the next: as much as was in use at
// the same time. A sync.Pool would lose it to the garbage collector whenever
// nothing is drawn for a while, and fresh memory costs more than drawing on it.
type spare[T any] struct {
	mu   sync.Mutex
	kept []*T
}

// take returns something given before, or the zero value.
func (s *spare[T]) take() *T {
	s.mu.Lock()
	defer s.mu.Unlock()
	n := len(s.kept)
	if n == 0 {
		return new(T)
	}
	v := s.kept[n-1]
	s.kept = s.kept[:n-1]
	return v
}

func (s *spare[T]) give(v *T) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.kept = append(s.kept, v)
}
