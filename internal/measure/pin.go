package measure

// pin gives each site the triangle nearest to its telling point.
func (r *evaluation) pin(sites []Site) error {
	if len(sites) == 0 {
		return nil
	}
	tree, err := r.search()
	if err != nil {
		return err
	}
	for i := range sites {
		_, tri, _ := tree.Nearest(sites[i].At)
		sites[i].Tris = []uint32{tri}
	}
	return nil
}
