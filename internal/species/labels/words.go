package labels

import (
	"slices"
	"strings"

	"commensal/internal/species/spelling"
)

// Word is what a word beside a name tells.
type Word uint8

// What words tell; 0 is a word that is not on the list.
const (
	Noun   Word = iota + 1 // "fish": nothing at all
	Male                   // a male
	Female                 // a female
	Size                   // how large or old, in words; the list is judged for life all the same
	Kind                   // colour, strain, origin, quality: of one kind or another of the same species
	Lot                    // how they are sold: a pair, assorted
)

// lists are the words of the list by what they tell, in English, German, French, Spanish,
// Portuguese, Japanese and Chinese, from common practice. A word of a name that is known as a
// whole is never looked up here: a bronze cory is its name.
var lists = map[Word]string{
	Noun: `fish fishes tropical freshwater aquarium live nano pet and of the in with for per each ea my
		fisch fische aquarienfisch und mit von der die das poisson poissons de des du la le les d eau douce et avec
		pez peces del el los las con e y do da dos das com peixe peixes 魚 鱼`,
	Male: `male males cock cocks buck boy
		mannlich mannliche mannlicher mannchen maennchen maennlich bock bocke male mâle mâles macho machos オス 雄 公 雄鱼 公鱼 雄性`,
	Female: `female females hen hens girl girls sow f
		weiblich weibliche weibchen femelle femelles hembra hembras femea femeas fêmea メス 雌 母 雌鱼 母鱼 雌性`,
	Size: `small medium large xlarge xl xxl xxxl s m l sm med lg md ml mlg reg regular big huge jumbo mini tiny little extra
		baby babies pup pups fry juvenile juveniles juv young youngster subadult adult adults grown mature growout eggs spawn spawning eier gelege laich size sized
		klein kleine kleiner mittel gross grosse grosser gr jung jungen junge jungtier jungtiere jungfisch ausgewachsen adulte adultes
		petit petite petits bebe bebes moyen grand grande grands jeune jeunes bebe
		mittlere mittelgrosse halbwuchsig halbwuchsige lrg lge sml smll xsm xsmall xlg nachwuchs moyenne moyens gros grosse alevin alevins subadulte
		chico chica chicos alevines filhotes alevino alevinos medios pequeno pequena pequenos pequenas mediano mediana medio media joven jovenes juvenil juvenis adulto adulta adultos filhote
		稚魚 成魚 幼魚 若魚 稚エビ 成体 幼体 亜成体 ベビー ヤング アダルト サイズ 特大 極小 大 小 中 幼鱼 成鱼 小型 大型 中型 鱼苗 小苗 苗 亚成 亚成体 大号 中号 小号`,
	Lot: `assorted asst mixed mix various selected select random pair pairs trio trios breeding group colony school shoal pack
		bag bundle deal offer special sale rehome rehoming rescue rescued needs need home homes looking free good abzugeben verschenken sucht neues zuhause x pr prs pc pcs lot lote lotes stk stuck uds sexed unsexed proven bonded couple
		paar paare parchen zuchtpaar gruppe schwarm gemischt verschiedene sortiert couple groupe assortis assorties melange
		pareja parejas grupo surtido surtidos variado variados casal casais sortidos sortido variados
		一組 ペア トリオ ミックス セット おまかせ 一对 混合 只 条 匹 尾 对 组 群`,
	Kind: `red blue green yellow orange black white gold golden silver pink purple violet lavender copper bronze brown
		grey gray turquoise teal cream ivory lemon chocolate coral scarlet crimson ruby sapphire cobalt royal sky powder
		pastel platinum metallic neon electric rainbow multicolor multicolour multi color colour colors colours colored coloured colourful
		light dark bright pale deep super ultra hi high low grade quality premium show
		albino albinos albinotic leucistic melanistic lutino amelanistic snow snowwhite panda koi tuxedo tux cobra mosaic grass snakeskin leopard
		tiger zebra marble marbled spotted striped stripe speckled calico dalmatian tricolor tricolour bicolor bicolour
		fire flame ghost lace laced melon redcap cap redcheek pigeon blood diamond single double triple burundi kigoma zaire moba kalambo ilangi
		ob mc harlequin galaxy dragon dragonscale scale mustard gas candy fancy nemo samurai alien avatar dumbo elephant ear ears
		moscow blonde blond japan japanese german brazilian peruvian colombian thai dutch czech bulgarian singapore
		malaysian indonesian african asian american european malawi malawian tanganyika tanganyikan victorian victoria
		atabapo nhamunda xingu tapajos tocantins araguaia guyana guiana suriname surinam paraguay bolivia ecuador pantanal jurua ucayali
		nanay iquitos inirida cameroon nigeria ghana gabon kenya tanzania zambia thailand laos kalimantan
		samazi kasanga ikola mpulungu kipili kapampa kasenga chilumba likoma mbenji nkhata luwala msuli maleri
		amazon amazonian orinoco peru brazil colombia venezuela burma burmese indian india sumatra borneo
		mickey mouse sunset sunburst wagtail wag pintail plume lyretail lyre lyratail lyratailed hifin highfin
		longfin longfinned longtail longtailed veil veiltail veiltailed butterfly halfmoon hm ohm rosetail crowntail ct
		plakat hmpk pk delta superdelta doubletail dt spadetail roundtail flagtail ribbon
		short long finned fin fins tail tailed body bodied balloon bodyed ballooned
		wild caught wc f1 f2 f3 f4 tank bred tankbred captive cb farmed farm pond raised tr tb tankraised brackish coldwater fw local locally home homebred
		aquarium strain variety var form morph type line lineage mutation domestic classic standard common normal ordinary true
		glo glofish glowing uv dyed new rare import imported exotic feeder feeders gender
		rot rote roter rotes blau blaue blauer grun grune gruner gelb gelbe schwarz schwarze weiss weisse weisser gold goldene
		silber orangene gemischte farbig bunt bunte schleier violett violette lila rosa pinke turkis turkise kupfer bronzefarben marmoriert marmorierte gefleckt gefleckte gestreift gestreifte getigert
		langflosser langflossig hochflosser kurzflossig zuchtform naturform wildform stamm hochzucht nachzucht nachzuchten dnz wf wildfang wildfange
		rouge rouges bleu bleue bleus vert verte jaune noir noire blanc blanche dore doree argent argente voile elevage sauvage sauvages violet violette violets rose roses turquoise cuivre orangee gris grise
		tachete tachetee raye rayee marbre marbree tigre tigree souche selection nageoires queue longues
		rojo roja rojos azul azules verde verdes amarillo amarilla negro negra blanco blanca dorado dorada plateado velo salvaje salvajes cria morado morada violeta rosa turquesa cobre naranja moteado moteada rayado rayada jaspeado manchado
		manchada marmoreado tricolor cola larga aleta aletas largas nacional importado importada
		vermelho vermelha amarelo amarela preto preta branco branca dourado dourada prateado veu selvagem selvagens roxo roxa laranja cinza cobre pintado pintada rajado rajada malhado malhada marmorizado cauda nadadeira
		nadadeiras longa longas importados variedade linhagem
		アルビノ コイ オリノコ ペルー産 ブラジル産 コロンビア産 ネグロ 外国産 外産 東南アジア産 ヨーロッパ産 ドイツ産 赤 青 黒 白 黄 緑 紫 金 銀 ワイルド ブリード ワイルド個体 ブリード個体 国産 輸入 改良品種 ゴールデン ゴールド シルバー ブラック ホワイト
		レッド ブルー イエロー オレンジ グリーン ピンク パープル プラチナ メタリック ロングフィン ショートボディ バルーン ダルメシアン マーブル
		パンダ タイガー ハーフムーン クラウンテール ダブルテール リボン モザイク タキシード コブラ モスコー 红 蓝 黑 白 金 银 黄 绿 紫 粉 橙 蓝色 红色 黑色 白色 黄色 金色 银色 绿色 紫色 粉色 橙色 白化 白子 黄化 野生 野采 人工 繁殖 进口 国产 本地 长鳍 大帆 短身 燕尾 马赛克 礼服 蛇王`,
}

// told is what each word of the list tells, by its normal form.
var told = func() map[string]Word {
	words := map[string]Word{}
	for _, tells := range []Word{Kind, Lot, Size, Noun, Female, Male} {
		for w := range strings.FieldsSeq(lists[tells]) {
			words[spelling.Normal(w)] = tells
		}
	}
	return words
}()

// joinedWords are the words of the list in scripts without spaces, the longest first.
var joinedWords = func() (out []string) {
	for w := range told {
		if w[0] >= 0x80 {
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(a, b string) int {
		if len(a) != len(b) {
			return len(b) - len(a)
		}
		return strings.Compare(a, b)
	})
	return out
}()

// Tells is what a word in its normal form tells; 0 where it is not on the list.
func Tells(w string) Word { return told[w] }
