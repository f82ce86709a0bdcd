package waterchem

// The body forms of invertebrates, with the words of the catalogue. Their length is
// that of the body without feelers and claws, of a shell, or across a crab's carapace.
const (
	Shrimp   BodyForm = "shrimp"
	Crayfish BodyForm = "crayfish"
	Crab     BodyForm = "crab"
	Snail    BodyForm = "snail"
	Clam     BodyForm = "clam"
)

// invertebratePrior is what the body form of an invertebrate says about its weight.
// These are common practice without a source: bodies of one form are taken to be
// alike (b near 3), and a to be known to a factor of about 2.5 either way, 4 for snails,
// whose shells run from spires to globes. A shrimp of 2.5 cm weighs 0.2 g, a crayfish
// of 12 cm 50 g, a crab of 4 cm 20 g. Of snails and clams the flesh is meant, 6 g
// of one of 5 cm: it alone feeds and breathes.
var invertebratePrior = map[BodyForm]FormPrior{
	Shrimp:   {-1.92, 0.2, 3, 0.09},
	Crayfish: {-1.53, 0.2, 3, 0.09},
	Crab:     {-0.51, 0.2, 3, 0.09},
	Snail:    {-1.30, 0.3, 3, 0.09},
	Clam:     {-1.30, 0.3, 3, 0.09},
}
