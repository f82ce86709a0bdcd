package conflict_test

import "testing"

// Facts of the trade: common practice, no source.
func TestFactsOfFormsOfOneSpecies(t *testing.T) {
	checkFacts(t, []fact{
		{"a veil angelfish is an angelfish", "Pterophyllum scalare veil", "Pterophyllum scalare", nil, low, moderate},
		{"long-finned danios shoal with danios", "Danio rerio longfin", "Danio rerio", nil, low, low},
		{"long-finned white clouds with white clouds", "Tanichthys albonubes longfin", "Tanichthys albonubes", nil, low, low},
		{"fancy goldfish of two forms are kept together", "Carassius auratus oranda", "Carassius auratus ranchu", nil, low, low},
		{"so are the two common pond forms", "Carassius auratus", "Carassius auratus comet", nil, low, low},
		{"mollies of two forms are mollies", "Poecilia sphenops balloon", "Poecilia sphenops", nil, low, low},
		{"plakats fight veiltails to the death", "Betta splendens plakat", "Betta splendens", nil, severe, severe},
		{"telescope goldfish cannot keep up with the fast forms", "Carassius auratus telescope", "Carassius auratus comet", nil, low, high},
	})
}

// Facts of the trade: common practice, no source.
func TestFactsOfBrutesAndKillers(t *testing.T) {
	checkFacts(t, []fact{
		{"a giant wolf fish and a giant snakehead tear each other up", "Hoplias aimara", "Channa micropeltes", nil, high, severe},
		{"a northern snakehead kills an oscar", "Channa argus", "Astronotus ocellatus", nil, high, severe},
		{"a saratoga harasses an oscar", "Scleropages jardinii", "Astronotus ocellatus", nil, moderate, severe},
		{"a bowfin mauls an oscar", "Amia calva", "Astronotus ocellatus", nil, moderate, severe},
		{"an Asian redtail catfish swallows or maims an oscar", "Hemibagrus wyckioides", "Astronotus ocellatus", nil, high, severe},
		{"a flowerhorn batters even a common pleco", "Amphilophus trimaculatus flowerhorn", "Pterygoplichthys pardalis", nil, moderate, severe},
		{"a flowerhorn batters an oscar", "Amphilophus trimaculatus flowerhorn", "Astronotus ocellatus", nil, high, severe},
		{"a wolf cichlid kills an oscar", "Parachromis dovii", "Astronotus ocellatus", nil, high, severe},
		{"a red terror kills a severum", "Mesoheros festae", "Heros efasciatus", nil, high, severe},
		{"an aimara kills a silver dollar", "Hoplias aimara", "Metynnis argenteus", nil, severe, severe},
		{"wolf fish do not spare angelfish", "Hoplias malabaricus", "Pterophyllum scalare", nil, high, severe},
		{"umbees kill nearly anything", "Kronoheros umbriferus", "Vieja melanurus", nil, high, severe},
		{"red devils kill convicts", "Amphilophus labiatus", "Amatitlania nigrofasciata", nil, high, severe},
		{"two kinds of piranha bite each other", "Pygocentrus nattereri", "Serrasalmus rhombeus", nil, high, severe},
		{"red-bellied and black-spotted piranhas of one size can share a shoal", "Pygocentrus nattereri", "Pygocentrus cariba", nil, low, high},
	})
}

// Facts of the trade: common practice, no source.
func TestFactsOfLargePeacefulCompany(t *testing.T) {
	checkFacts(t, []fact{
		{"an oscar and silver dollars are a classic", "Astronotus ocellatus", "Metynnis argenteus", nil, low, moderate},
		{"an oscar and a spotted Raphael are customary", "Astronotus ocellatus", "Agamyxis pectinifrons", nil, low, moderate},
		{"and a striped Raphael", "Astronotus ocellatus", "Platydoras armatulus", nil, low, moderate},
		{"and a featherfin squeaker", "Astronotus ocellatus", "Synodontis eupterus", nil, low, moderate},
		{"and hoplos", "Astronotus ocellatus", "Megalechis thoracata", nil, low, moderate},
		{"and a large pleco", "Astronotus ocellatus", "Pterygoplichthys gibbiceps", nil, low, low},
		{"oscars eat corydoras and choke", "Astronotus ocellatus", "Osteogaster aenea", nil, moderate, severe},
		{"silver dollars go with severums", "Metynnis argenteus", "Heros efasciatus", nil, low, moderate},
		{"geophagus and severums are customary", "Geophagus altifrons", "Heros efasciatus", nil, low, moderate},
		{"bala sharks and tinfoil barbs are customary", "Balantiocheilos melanopterus", "Barbonymus schwanenfeldii", nil, low, low},
		{"clown and yoyo loaches too", "Chromobotia macracanthus", "Botia almorhae", nil, low, moderate},
		{"bichirs go with large peaceful fish", "Polypterus endlicherii", "Barbonymus schwanenfeldii", nil, low, moderate},
		{"koi and sterlets live apart at the table", "Cyprinus rubrofuscus", "Acipenser ruthenus", nil, low, high},
		{"fancy goldfish lose every race to ides", "Carassius auratus fancy", "Leuciscus idus", nil, moderate, high},
		{"koi and ides are pond fish, too large for a tank", "Cyprinus rubrofuscus", "Leuciscus idus", nil, low, moderate},
	})
}

// Facts of the trade: common practice, no source.
func TestFactsOfRiftLakes(t *testing.T) {
	checkFacts(t, []fact{
		{"blue dolphins go with peacocks", "Cyrtocara moorii", "Aulonocara stuartgranti", nil, low, moderate},
		{"tropheus and sardine cichlids are standard", "Tropheus duboisi", "Cyprichromis leptosoma", nil, low, moderate},
		{"a lab and a rusty are moderate at most", "Labidochromis caeruleus", "Iodotropheus sprengerae", nil, low, moderate},
		{"a lab and an acei too", "Labidochromis caeruleus", "Pseudotropheus acei", nil, low, moderate},
		{"labs and peacocks are the customary mixture", "Labidochromis caeruleus", "Aulonocara stuartgranti", nil, low, moderate},
		{"frontosas eat sardine cichlids as they grow", "Cyphotilapia frontosa", "Cyprichromis leptosoma", nil, moderate, severe},
		{"a calvus ignores sardine cichlids", "Altolamprologus calvus", "Cyprichromis leptosoma", nil, low, moderate},
		{"shell-dwellers and sardine cichlids are standard", "Neolamprologus multifasciatus", "Cyprichromis leptosoma", nil, low, low},
		{"two melanochromis in one tank are trouble", "Melanochromis auratus", "Pseudotropheus johannii", nil, moderate, severe},
		{"mbuna and haps of hunting habits are trouble", "Melanochromis auratus", "Copadichromis borleyi", nil, moderate, high},
		{"cuckoo catfish live with large Tanganyikans", "Synodontis multipunctata", "Cyphotilapia frontosa", nil, low, moderate},
	})
}
