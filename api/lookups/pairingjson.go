package lookups

import (
	"encoding/json"
	"strconv"
	"sync"

	"commensal/api/gen"
	"commensal/api/respond"
)

// bodies are what pairings are encoded in before their length is known.
var bodies = sync.Pool{New: func() any { b := make([]byte, 0, 8<<10); return &b }}

// encodeBody is the answer about a pairing, as encoding/json writes it and a line end. Written out, it takes a fifth of the time.
func encodeBody(p *gen.Pairing) ([]byte, error) {
	buf := bodies.Get().(*[]byte)
	defer bodies.Put(buf)
	w := pairingWriter((*buf)[:0])
	err := w.pairing(p)
	*buf = append(w, '\n')
	return append(make([]byte, 0, len(*buf)), *buf...), err
}

// pairingWriter writes a pairing: for each type of the contract in it a method, with its fields in the order of their names.
type pairingWriter []byte

// raw writes what stands in every answer.
func (w *pairingWriter) raw(s string) { *w = append(*w, s...) }

func (w *pairingWriter) text(name, s string) {
	w.raw(name)
	*w = respond.AppendText(*w, s)
}

func (w *pairingWriter) number(name string, x float64) {
	w.raw(name)
	*w = respond.AppendNumber(*w, x)
}

func (w *pairingWriter) whole(name string, n int64) {
	w.raw(name)
	*w = strconv.AppendInt(*w, n, 10)
}

func (w *pairingWriter) truth(name string, yes bool) {
	w.raw(name)
	*w = strconv.AppendBool(*w, yes)
}

// list writes a list.
func list[T any](w *pairingWriter, name string, of []T, one func(*T)) {
	w.raw(name)
	w.raw("[")
	for i := range of {
		if i > 0 {
			w.raw(",")
		}
		one(&of[i])
	}
	w.raw("]")
}

// end ends an object, none of whose fields had to be there, so that each began with a comma.
func (w *pairingWriter) end(begin int) {
	if b := *w; len(b) > begin && b[begin] == ',' {
		copy(b[begin:], b[begin+1:])
		*w = b[:len(b)-1]
	}
	w.raw("}")
}

func (w *pairingWriter) pairing(p *gen.Pairing) error {
	list(w, `{"band":`, p.Band, func(x *float64) { w.number("", *x) })
	w.whole(`,"catalogue_revision":`, p.CatalogueRevision)
	list(w, `,"cautions":`, p.Cautions, w.caution)
	w.raw(`,"conditions":`)
	w.conditions(&p.Conditions)
	list(w, `,"factors":`, p.Factors, w.factor)
	w.number(`,"harm":{"first_to_second":`, p.Harm.FirstToSecond)
	w.number(`,"second_to_first":`, p.Harm.SecondToFirst)
	w.text(`},"level":`, string(p.Level))
	w.text(`,"main_reason":`, string(p.MainReason))
	list(w, `,"missing_traits":`, p.MissingTraits, func(m *gen.MissingTrait) {
		w.text(`{"species":`, m.Species)
		w.text(`,"trait":`, m.Trait)
		w.raw("}")
	})
	w.text(`,"model_version":`, p.ModelVersion)
	list(w, `,"remedies":`, p.Remedies, w.remedy)
	w.raw(`,"reports":`)
	if p.Reports == nil {
		w.raw("null")
	} else if err := w.encoded(p.Reports); err != nil {
		return err
	}
	if p.RuledOutBy != nil {
		w.text(`,"ruled_out_by":`, string(*p.RuledOutBy))
	}
	w.number(`,"score":`, p.Score)
	w.raw(`,"shared_water":`)
	w.sharedWater(p.SharedWater)
	list(w, `,"species":`, p.Species, func(s *gen.SpeciesRef) {
		w.text(`{"id":`, s.Id)
		w.text(`,"scientific_name":`, s.ScientificName)
		w.text(`,"vernacular_name":`, s.VernacularName)
		w.raw("}")
	})
	w.text(`,"summary":`, p.Summary)
	w.raw("}")
	return nil
}

func (w *pairingWriter) caution(c *gen.Caution) {
	w.text(`{"code":`, c.Code)
	if c.Species != nil {
		w.text(`,"species":`, *c.Species)
	}
	w.text(`,"text":`, c.Text)
	w.raw("}")
}

func (w *pairingWriter) conditions(c *gen.Conditions) {
	w.text(`{"age":`, string(c.Age))
	w.number(`,"cover":`, c.Cover)
	w.fish(`,"first":{`, c.First)
	w.number(`,"height_cm":`, c.HeightCm)
	w.number(`,"length_cm":`, c.LengthCm)
	if r := c.Readings; r != nil {
		w.raw(`,"readings":{`)
		begin := len(*w)
		w.optional(`,"gh_dh":`, r.GhDh)
		w.optional(`,"ph":`, r.Ph)
		w.optional(`,"salinity_ppt":`, r.SalinityPpt)
		w.optional(`,"temperature_c":`, r.TemperatureC)
		w.end(begin)
	}
	w.truth(`,"reference_cover":`, c.ReferenceCover)
	w.truth(`,"reference_tank":`, c.ReferenceTank)
	w.fish(`,"second":{`, c.Second)
	w.text(`,"summary":`, c.Summary)
	w.number(`,"volume_l":`, c.VolumeL)
	w.text(`,"water":`, string(c.Water))
	w.number(`,"width_cm":`, c.WidthCm)
	w.raw("}")
}

func (w *pairingWriter) optional(name string, x *float64) {
	if x != nil {
		w.number(name, *x)
	}
}

func (w *pairingWriter) fish(name string, f *gen.GivenFish) {
	if f == nil {
		return
	}
	w.raw(name)
	begin := len(*w)
	if f.Count != nil {
		w.whole(`,"count":`, int64(*f.Count))
	}
	w.optional(`,"length_cm":`, f.LengthCm)
	if f.Sex != nil {
		w.text(`,"sex":`, string(*f.Sex))
	}
	w.end(begin)
}

func (w *pairingWriter) factor(f *gen.FactorResult) {
	list(w, `{"evidence":`, f.Evidence, func(e *gen.Evidence) {
		w.text(`{"name":`, e.Name)
		w.text(`,"unit":`, e.Unit)
		w.number(`,"value":`, e.Value)
		w.raw("}")
	})
	w.text(`,"factor":`, string(f.Factor))
	w.number(`,"share":`, f.Share)
	w.text(`,"summary":`, f.Summary)
	w.raw("}")
}

func (w *pairingWriter) remedy(r *gen.Remedy) {
	w.raw("{")
	begin := len(*w)
	if r.Check != nil {
		w.text(`,"check":`, *r.Check)
	}
	w.text(`,"code":`, string(r.Code))
	w.text(`,"level":`, string(r.Level))
	w.number(`,"score":`, r.Score)
	w.text(`,"summary":`, r.Summary)
	w.end(begin)
}

func (w *pairingWriter) sharedWater(s *gen.SharedWater) {
	if s == nil {
		w.raw("null")
		return
	}
	w.raw("{")
	begin := len(*w)
	w.shared(`,"gh_dh":`, s.GhDh)
	w.shared(`,"ph":`, s.Ph)
	w.shared(`,"salinity_ppt":`, s.SalinityPpt)
	w.shared(`,"temperature_c":`, s.TemperatureC)
	w.end(begin)
}

func (w *pairingWriter) shared(name string, p *gen.SharedParameter) {
	if p == nil {
		return
	}
	w.raw(name)
	w.number(`{"best":`, p.Best)
	w.raw(`,"preferred":`)
	if p.Preferred == nil {
		w.raw("null")
	} else {
		w.interval(p.Preferred)
	}
	w.raw(`,"tolerated":`)
	w.interval(&p.Tolerated)
	w.raw("}")
}

func (w *pairingWriter) interval(i *gen.Interval) {
	w.number(`{"high":`, i.High)
	w.number(`,"low":`, i.Low)
	w.raw("}")
}

// encoded writes what few answers have.
func (w *pairingWriter) encoded(value any) error {
	text, err := json.Marshal(value)
	*w = append(*w, text...)
	return err
}
