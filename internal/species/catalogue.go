package species

// Catalogue is a whole catalogue as read from text or from the database, before
// it is indexed as a [Snapshot].
type Catalogue struct {
	Species []*Species
	Words   []GroupWord
	Sources []Source
}

// GroupWord is a trade word that names several species ("pleco", "cory"). It
// never resolves on its own: the candidates are listed, likeliest first.
type GroupWord struct {
	Word       string
	Candidates []ID
}

// Source is a publication that catalogue values cite by key.
type Source struct {
	Key      string
	Citation string
}
