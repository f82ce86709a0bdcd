package validate

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"testing"

	"commensal/api/gen"

	"pgregory.net/rapid"
)

// builtIn is the contract as the service has it.
var builtIn = sync.OnceValue(func() *Contract {
	c, err := BuiltIn()
	if err != nil {
		panic(err)
	}
	return c
})

// planned are operations whose bodies are held against a plan, each with what its body is read into.
var planned = map[string]func(s *Sent) (any, error){
	"checkList": readInto[gen.CheckRequest], "rankAdditions": readInto[gen.AdditionsRequest], "splitList": readInto[gen.GroupingsRequest],
	"placeFish": readInto[gen.PlacementsRequest], "createTank": readInto[gen.NewTank], "addResident": readInto[gen.LineInput],
	"checkTankWithIncoming": readInto[gen.TankCheckRequest], "scorePairings": readInto[gen.PairingMatrixRequest], "readAdopterForm": readInto[gen.AdopterForm],
}

func readInto[T any](s *Sent) (any, error) { return Read[T](s) }

// agree holds what a plan says of a text, and what is read from it then, against decoding it and holding it against the schema.
func agree(t interface{ Fatalf(string, ...any) }, op *Operation, text []byte) (sound bool) {
	value, err := DecodeStrictly(text)
	if err == nil {
		err = op.Fits(value)
	}
	if sound = op.body().plan.sound(text); !sound {
		if err == nil && !bytes.ContainsAny(text, `\`) && !strings.Contains(string(text), "null") && len(text) <= maxPlain {
			t.Fatalf("%s: no plan knows that this is sound: %q", op.ID, text)
		}
		return false
	}
	if err != nil {
		t.Fatalf("%s: sound by its plan, and refused: %q: %v", op.ID, text, err)
	}
	read := planned[op.ID]
	got, err := read(&Sent{text: text, plain: true})
	if err != nil {
		t.Fatalf("%s: %q: %v", op.ID, text, err)
	}
	want, err := read(&Sent{text: text})
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Fatalf("%s: %q is read as\n%s, not as\n%s (%v)", op.ID, text, asJSON(got), asJSON(want), err)
	}
	return true
}

func asJSON(v any) []byte {
	text, _ := json.Marshal(v)
	return text
}

// Plans and schemas agree on bodies that are drawn from the contract, and on the same with slips in them.
func TestPlansAgreeWithTheSchemas(t *testing.T) {
	for id := range planned {
		t.Run(id, func(t *testing.T) {
			op := builtIn().Operations[id]
			if op.body().plan == nil {
				t.Fatal("it has no plan: its schema has a rule that plans do not know")
			}
			schema := builtIn().bodyOf(op)
			sound, all := 0, 0
			rapid.Check(t, func(r *rapid.T) {
				text := drawBody(r, schema)
				all++
				if agree(r, op, text) {
					sound++
				}
				agree(r, op, slipped(r, text))
			})
			if sound < all/4 {
				t.Errorf("of %d bodies only %d were sound: draw better ones", all, sound)
			}
		})
	}
}

// bodyOf is the schema of an operation's body as the document has it.
func (c *Contract) bodyOf(op *Operation) map[string]any {
	return AsMap(AsMap(AsMap(AsMap(c.Described(op)["requestBody"])["content"])[op.Media])["schema"])
}

// drawBody draws a body that a schema allows, as one or another program writes it.
func drawBody(r *rapid.T, schema map[string]any) []byte {
	var out bytes.Buffer
	if err := json.Indent(&out, drawText(r, schema, 0), "", rapid.SampledFrom([]string{"", " ", "\t"}).Draw(r, "indent")); err != nil {
		r.Fatal(err)
	}
	return out.Bytes()
}

func drawText(r *rapid.T, described any, depth int) (out []byte) {
	schema := builtIn().Follow(described)
	if words := AsList(schema["enum"]); len(words) > 0 {
		return asJSON(rapid.SampledFrom(words).Draw(r, "word"))
	}
	if list := AsList(schema["oneOf"]); len(list) > 0 {
		return drawText(r, rapid.SampledFrom(list).Draw(r, "one"), depth)
	}
	switch schema["type"] {
	case "object":
		out = append(out, '{')
		for name, property := range AsMap(schema["properties"]) {
			if !isRequired(schema, name) && rapid.IntRange(0, 1+depth).Draw(r, "left out") > 0 {
				continue
			}
			if len(out) > 1 {
				out = append(out, ',')
			}
			out = append(append(strconv.AppendQuote(out, name), ':'), drawText(r, property, depth+1)...)
		}
		return append(out, '}')
	case "array":
		least := whole(schema["minItems"])
		out = append(out, '[')
		for i := range rapid.IntRange(least, least+3).Draw(r, "entries") {
			if i > 0 {
				out = append(out, ',')
			}
			out = append(out, drawText(r, schema["items"], depth+1)...)
		}
		return append(out, ']')
	case "boolean":
		return strconv.AppendBool(nil, rapid.Bool().Draw(r, "truth"))
	case "string":
		least := max(1, whole(schema["minLength"]))
		return asJSON(rapid.StringOfN(rapid.RuneFrom([]rune("abz 09-ä魚")), least, least+8, -1).Draw(r, "text"))
	case "integer":
		return strconv.AppendInt(nil, int64(drawNumber(r, schema)), 10)
	}
	return strconv.AppendFloat(nil, drawNumber(r, schema), rapid.SampledFrom([]byte("feg")).Draw(r, "form"), -1, 64)
}

func isRequired(schema map[string]any, name string) bool {
	for _, one := range AsList(schema["required"]) {
		if one == name {
			return true
		}
	}
	return false
}

func drawNumber(r *rapid.T, schema map[string]any) float64 {
	low, _ := schema["minimum"].(float64)
	high, ok := schema["maximum"].(float64)
	if !ok {
		high = 1000
	}
	return rapid.Float64Range(low, high).Draw(r, "number")
}

// slipped is a text with a piece that is lost, doubled or another.
func slipped(r *rapid.T, text []byte) []byte {
	from := rapid.IntRange(0, len(text)).Draw(r, "from")
	to := min(len(text), from+rapid.IntRange(0, 6).Draw(r, "long"))
	piece := rapid.SampledFrom([]string{"", string(text[from:to]) + string(text[from:to]), `"`, `,`, `}`, `]`, `{`, `[`, `\u0041`, "null", "true", "-", "0", "00", "1e999", "1E+2", "1e-400",
		".5", "\x00", "\xff", "\n", `"species"`, `"species":"oscar",`, `"count":0`, `"count":1000.5`, `"count":1e3`, `-0`, `"Species":"a"`, `"colour":1,`, "\u2028", "<&"}).Draw(r, "piece")
	return append(append(append([]byte{}, text[:from]...), piece...), text[to:]...)
}

// FuzzSound holds that a plan calls nothing sound that is not, and that what is read then is what encoding/json reads.
func FuzzSound(f *testing.F) {
	for _, seed := range []string{aDozen, `{"residents":[]}`, `{"residents":[{"species":"a","species":"b"}]}`, `{"tank":{"ph":"7"},"offers":-0}`, `{"pairings":1e2}`, `{"keep":["魚"]} x`,
		`{"residents":[{"count":01}]}`, "\xef\xbb\xbf{}", `{"record":true,}`, `{"tank":{"temperature_c":1e400}}`, `{"tank":{"cover":1.0000000000000001}}`} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, body string) { agree(t, builtIn().Operations["checkList"], []byte(body)) })
}

// aDozen is a list as a till sends it.
const aDozen = `{"detail":"brief","tank":{"size":"250x80x70cm","temperature_c":24.000017,"ph":6.8,"gh_dh":8,"lid":true,"weekly_change":0.5,"filter_mature":true,"cover":0.7,"substrate":"sand","planted":true},` +
	`"residents":[{"species":"paracheirodon-innesi","count":20},{"species":"petitella-rhodostoma","count":15},{"species":"hoplisoma-panda","count":8},{"species":"ancistrus-cirrhosus","count":1},` +
	`{"species":"trichopodus-leerii","count":3},{"species":"pangio-kuhlii","count":8},{"species":"thayeria-boehlkei","count":10},{"species":"nematobrycon-palmeri","count":10},` +
	`{"species":"otocinclus-vittatus","count":8},{"species":"trigonostigma-heteromorpha","count":15},{"species":"hoplisoma-paleatum","count":8},{"species":"mikrogeophagus-altispinosus","count":2}]}`

// What a field may be said of is found, and what is not there is not.
func TestWhatABodySays(t *testing.T) {
	op := builtIn().Operations["checkList"]
	sent, err := op.Hold([]byte(`{"residents":[{"species":"record","count":2,"article":"offers "}],"record":true}`))
	if err != nil || !sent.plain {
		t.Fatal(err, "not held by a plan")
	}
	for field, want := range map[string]bool{"record": true, "article": true, "offers": false, "keep": false, "residents": true, "cord": false} {
		if sent.Says(field) != want {
			t.Errorf("says %s: %v", field, !want)
		}
	}
	if wanted, _ := sent.Fields()["record"].(bool); !wanted {
		t.Errorf("decoded: %v", sent.Value())
	}
	escaped, err := op.Hold([]byte(`{"residents":[{"species":"oscar"}],"\u0072ecord":true}`))
	if err != nil || !escaped.Says("record") {
		t.Error("a field that is written with an escape is overlooked", err)
	}
}

// BenchmarkHold is a list held against the contract and read, by its plan and without one.
func BenchmarkHold(b *testing.B) {
	for name, text := range map[string]string{"by its plan": aDozen, "by its schema": strings.Replace(aDozen, "paracheirodon", `\u0070aracheirodon`, 1)} {
		b.Run(name, func(b *testing.B) {
			op := builtIn().Operations["checkList"]
			b.ReportAllocs()
			for b.Loop() {
				sent, err := op.Hold([]byte(text))
				if err != nil {
					b.Fatal(err)
				}
				if _, err := Read[gen.CheckRequest](sent); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
