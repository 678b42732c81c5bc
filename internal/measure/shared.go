package measure

// store holds what several measures share, each part under a key whose type is its own.
// The zero store is ready for use.
type store struct{ parts map[any]any }

// shared returns what the key stands for, made by whoever asks first.
func shared[T any](s *store, key any, make func() T) T {
	if part, ok := s.parts[key]; ok {
		return part.(T)
	}
	part := make()
	if s.parts == nil {
		s.parts = map[any]any{}
	}
	s.parts[key] = part
	return part
}

// once returns what the key stands for, or why that could not be made, by whoever asks first.
func once[T any](s *store, key any, make func() (T, error)) (T, error) {
	return shared(s, key, func() *lazy[T] { return new(lazy[T]) }).get(make)
}

// lazy keeps what was made when it was first asked for, and why it could not be made.
type lazy[T any] struct {
	asked bool
	value T
	err   error
}

func (o *lazy[T]) get(make func() (T, error)) (T, error) {
	if !o.asked {
		o.value, o.err = make()
		o.asked = true
	}
	return o.value, o.err
}
