package conflict_test

import "testing"

// Facts of the trade: common practice, no source.
func TestFactsOfLabyrinthFishesAndTheirCompany(t *testing.T) {
	checkFacts(t, []fact{
		{"a honey gourami and a dwarf gourami seldom come to blows", "Trichogaster chuna", "Trichogaster lalius", nil, low, moderate},
		{"thick-lipped and dwarf gouramis neither", "Trichogaster labiosa", "Trichogaster lalius", nil, low, moderate},
		{"moonlight and pearl gouramis share a large tank", "Trichopodus microlepis", "Trichopodus leerii", nil, low, moderate},
		{"a pearl gourami is a community fish for tetras", "Trichopodus leerii", "Hemigrammus rhodostomus", nil, low, moderate},
		{"and for small catfish", "Trichopodus leerii", "Hoplisoma sterbai", nil, low, low},
		{"honey gouramis go with small rasboras", "Trichogaster chuna", "Trigonostigma espei", nil, low, low},
		{"sparkling gouramis go with dwarf rasboras", "Trichopsis pumila", "Boraras maculatus", nil, low, low},
		{"male fighters take the fins of guppies for a challenge", "Betta splendens", "Poecilia reticulata", nil, moderate, high},
		{"two kinds of fighter fight", "Betta splendens", "Betta imbellis", nil, high, severe},
		{"a paradise fish bullies white clouds", "Macropodus opercularis", "Tanichthys albonubes", nil, moderate, high},
		{"the giant gourami outgrows small fish and eats them", "Osphronemus goramy", "Danio rerio", nil, high, severe},
	})
}

// Facts of the trade: common practice, no source.
func TestFactsOfAngelfishAndDiscus(t *testing.T) {
	checkFacts(t, []fact{
		{"angelfish and diamond tetras are customary", "Pterophyllum scalare", "Moenkhausia pittieri", nil, low, moderate},
		{"angelfish and lemon tetras too", "Pterophyllum scalare", "Hyphessobrycon pulchripinnis", nil, low, moderate},
		{"angelfish and Colombian tetras can be kept", "Pterophyllum scalare", "Hyphessobrycon columbianus", nil, low, moderate},
		{"angelfish and rummynoses are a classic", "Pterophyllum scalare", "Hemigrammus rhodostomus", nil, low, moderate},
		{"angelfish eat neons when they can", "Pterophyllum scalare", "Paracheirodon innesi", nil, moderate, severe},
		{"angelfish and large corydoras are customary", "Pterophyllum scalare", "Hoplisoma sterbai", nil, low, low},
		{"angelfish and bristlenoses too", "Pterophyllum scalare", "Ancistrus cirrhosus", nil, low, low},
		{"an angelfish may swallow pygmy corydoras, and choke", "Pterophyllum scalare", "Gastrodermus pygmaeus", nil, moderate, high},
		{"altums are kept with cardinals, but can take them", "Pterophyllum altum", "Paracheirodon axelrodi", nil, low, high},
		{"discus and rummynoses are a classic", "Symphysodon aequifasciatus", "Hemigrammus rhodostomus", nil, low, moderate},
		{"discus and bleeding hearts are customary", "Symphysodon aequifasciatus", "Hyphessobrycon erythrostigma", nil, low, moderate},
		{"discus and sterbai corydoras are customary", "Symphysodon aequifasciatus", "Hoplisoma sterbai", nil, low, low},
		{"discus and rams too", "Symphysodon aequifasciatus", "Mikrogeophagus ramirezi", nil, low, moderate},
		{"discus and clown loaches need the same warm water", "Symphysodon aequifasciatus", "Chromobotia macracanthus", nil, low, moderate},
		{"a rummynose and a pearl gourami want nearly the same water", "Hemigrammus rhodostomus", "Trichopodus leerii", nil, low, low},
		{"so do a rummynose and a bristlenose", "Hemigrammus rhodostomus", "Ancistrus cirrhosus", nil, low, low},
		{"convicts drive angelfish into a corner", "Amatitlania nigrofasciata", "Pterophyllum scalare", nil, high, severe},
		{"a goldfish wants it cooler than an angelfish", "Carassius auratus", "Pterophyllum scalare", nil, moderate, severe},
		{"and eats neons", "Carassius auratus", "Paracheirodon innesi", nil, moderate, severe},
	})
}

// Facts of the trade: common practice, no source.
func TestFactsOfSlowFeeders(t *testing.T) {
	checkFacts(t, []fact{
		{"dwarf sunfish may starve beside neons", "Elassoma evergladei", "Paracheirodon innesi", nil, low, high},
		{"armoured sticklebacks beside neons too", "Indostomus paradoxus", "Paracheirodon innesi", nil, moderate, severe},
		{"pipefish starve beside any lively fish", "Enneacampus ansorgii", "Paracheirodon innesi", nil, moderate, severe},
		{"dwarf badis go short beside zebra danios", "Dario dario", "Danio rerio", nil, moderate, high},
		{"emerald dwarf danios go short beside zebra danios", "Danio erythromicron", "Danio rerio", nil, low, high},
		{"celestial pearl danios with ember tetras are customary", "Danio margaritatus", "Hyphessobrycon amandae", nil, low, moderate},
		{"neons are not outrun by zebra danios", "Paracheirodon innesi", "Danio rerio", nil, low, moderate},
		{"corydoras find their food among tetras, even nippers", "Hoplisoma panda", "Hyphessobrycon eques", nil, low, moderate},
		{"otocinclus live among corydoras", "Otocinclus vittatus", "Hoplisoma panda", nil, low, low},
		{"hillstream loaches graze beside white clouds", "Sewellia lineolata", "Tanichthys albonubes", nil, low, low},
	})
}

// Facts of the trade: common practice, no source.
func TestFactsOfCrossing(t *testing.T) {
	checkFacts(t, []fact{
		{"zebra and pearl danios shoal together", "Danio rerio", "Danio albolineatus", nil, low, low},
		{"lambchop and harlequin rasboras too", "Trigonostigma espei", "Trigonostigma heteromorpha", nil, low, low},
		{"rudd and roach are pond fish that may cross", "Scardinius erythrophthalmus", "Rutilus rutilus", nil, low, low},
		{"two bitterlings may cross", "Rhodeus amarus", "Rhodeus ocellatus", nil, low, moderate},
		{"platies and swordtails cross before long", "Xiphophorus hellerii", "Xiphophorus maculatus", nil, low, moderate},
		{"guppies and Endlers cross at once", "Poecilia reticulata", "Poecilia wingei", nil, low, moderate},
		{"two male peacocks fight and their females cannot be told apart", "Aulonocara stuartgranti", "Aulonocara jacobfreibergi", nil, low, high},
	})
}

// Facts of the trade: common practice, no source.
func TestFactsOfSmallCommunity(t *testing.T) {
	checkFacts(t, []fact{
		{"harlequins and cardinals are customary", "Trigonostigma heteromorpha", "Paracheirodon axelrodi", nil, low, low},
		{"bristlenoses live with rams", "Ancistrus cirrhosus", "Mikrogeophagus ramirezi", nil, low, moderate},
		{"rams and cardinals are customary", "Mikrogeophagus ramirezi", "Paracheirodon axelrodi", nil, low, low},
		{"kribs and corydoras are a case for room", "Pelvicachromis pulcher", "Osteogaster aenea", nil, low, moderate},
		{"cherry barbs go with kuhli loaches", "Puntius titteya", "Pangio kuhlii", nil, low, low},
		{"tiger barbs nip gouramis", "Puntigrus tetrazona", "Trichopodus leerii", nil, moderate, severe},
		{"serpae tetras nip guppies", "Hyphessobrycon eques", "Poecilia reticulata", nil, moderate, high},
		{"rainbowfish and corydoras are customary", "Melanotaenia boesemani", "Hoplisoma sterbai", nil, low, low},
		{"red-tailed black sharks chase rainbow sharks", "Epalzeorhynchos bicolor", "Epalzeorhynchos frenatum", nil, high, severe},
		{"clown killifish go with ember tetras", "Pseudepiplatys annulatus", "Hyphessobrycon amandae", nil, low, low},
		{"platies and mollies are customary", "Xiphophorus maculatus", "Poecilia sphenops", nil, low, low},
		{"a pea puffer nips guppies", "Carinotetraodon travancoricus", "Poecilia reticulata", nil, high, severe},
	})
}
