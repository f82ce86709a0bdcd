package species

// BodyForm sets the length-weight prior and a plausible depth ratio, and tells fish
// from invertebrates.
type BodyForm string

// The body forms of fish, for which published length-weight priors exist (Froese,
// Thorson & Reyes 2014, J. Appl. Ichthyol. 30:78-85).
const (
	EelLike   BodyForm = "eel_like"
	Elongated BodyForm = "elongated"
	Fusiform  BodyForm = "fusiform"
	ShortDeep BodyForm = "short_deep"
)

// The body forms of invertebrates. Their length is that of the body without feelers
// and claws, of a snail or clam that of the shell, and of a crab the width of its
// carapace.
const (
	ShrimpForm   BodyForm = "shrimp"
	CrayfishForm BodyForm = "crayfish"
	CrabForm     BodyForm = "crab"
	SnailForm    BodyForm = "snail"
	ClamForm     BodyForm = "clam"
)

// Crustacean reports whether it is a shrimp, a crayfish or a crab: an animal that moults
// and lies soft for a day when it has.
func (f BodyForm) Crustacean() bool {
	return f == ShrimpForm || f == CrayfishForm || f == CrabForm
}

// Shelled reports whether it is a snail or a clam: an animal that only a specialist
// gets out of its shell.
func (f BodyForm) Shelled() bool { return f == SnailForm || f == ClamForm }

// Invertebrate reports whether it is no fish.
func (f BodyForm) Invertebrate() bool { return f.Crustacean() || f.Shelled() }
