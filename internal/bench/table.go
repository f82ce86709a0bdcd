package bench

import (
	"fmt"
	"io"
	"strings"

	"commensal/internal/loadtest"
)

// columns of the table: head, and what stands there.
var columns = []struct {
	head string
	text func(f *Figures) string
}{
	{"question", func(f *Figures) string { return f.Question }},
	{"bytes", func(f *Figures) string { return fmt.Sprint(f.Bytes) }},
	{"answers/s", func(f *Figures) string { return fmt.Sprintf("%.0f", f.PerSecond) }},
	{"bare/s", func(f *Figures) string { return fmt.Sprintf("%.0f", f.Bare) }},
	{"ratio", func(f *Figures) string { return ratioText(f.Ratio) }},
	{"of CPU", func(f *Figures) string { return orNothing(f.CPURatio) }},
	{"by wrk", func(f *Figures) string { return orNothing(f.WrkRatio) }},
	{"of CPU by wrk", func(f *Figures) string { return orNothing(f.WrkCPU) }},
	{"CPU s/1000", func(f *Figures) string { return fmt.Sprintf("%.3f", f.CPU) }},
	{"allocs", func(f *Figures) string { return fmt.Sprintf("%.0f", f.Objects) }},
	{"alloc KB", func(f *Figures) string { return fmt.Sprintf("%.1f", f.Allocated/1000) }},
	{"p50 ms", func(f *Figures) string { return fmt.Sprintf("%.2f", f.HalfMS) }},
	{"p99 ms", func(f *Figures) string { return fmt.Sprintf("%.2f", f.P99MS) }},
	{"busy", func(f *Figures) string {
		if f.Busy == nil {
			return ""
		}
		return fmt.Sprintf("%.0f %%", 100**f.Busy)
	}},
	{"bare p99 ms", func(f *Figures) string {
		if f.BareP99MS == nil {
			return ""
		}
		return fmt.Sprintf("%.2f", *f.BareP99MS)
	}},
	{"refused", func(f *Figures) string {
		if f.Refused == 0 {
			return ""
		}
		return fmt.Sprintf("%.1f %%", 100*f.Refused)
	}},
}

func orNothing(ratio *float64) string {
	if ratio == nil {
		return ""
	}
	return ratioText(*ratio)
}

// ratioText has two digits that say something.
func ratioText(r float64) string {
	if r < 0.1 {
		return fmt.Sprintf("%.3f", r)
	}
	return fmt.Sprintf("%.2f", r)
}

// rows are the cells of the table, the head first. A column in which nothing stands is left out.
func (r *Report) rows() (rows [][]string) {
	rows = make([][]string, 1+len(r.Figures))
	for _, c := range columns {
		cells, any := []string{c.head}, false
		for i := range r.Figures {
			text := c.text(&r.Figures[i])
			cells, any = append(cells, text), any || text != ""
		}
		if any || len(r.Figures) == 0 {
			for i, text := range cells {
				rows[i] = append(rows[i], text)
			}
		}
	}
	return rows
}

// notes are what the table rests on, a sentence each.
func (r *Report) notes() (notes []string) {
	where := "Nothing is pinned: client and servers share the processors, which flatters the ratios."
	if r.ServerOn != nil {
		where = fmt.Sprintf("Service, PostgreSQL and the bare side are on processor %d, the client alone is on processor %d.", *r.ServerOn, *r.ClientOn)
	}
	notes = []string{
		fmt.Sprintf("Client: %s, %d connections, %d for what takes milliseconds, %g seconds for each question. %s", r.Client, r.Connections, min(r.Connections, dearConnections), r.Seconds, where),
		fmt.Sprintf("ratio: answers to those of a bare echo handler with the same bytes, in a process of its own; for what is stored, to the bare statements through pgx, as durable. "+
			"Median of %d pairs of neighbouring runs.", rounds),
		"of CPU: the same ratio by the processor time that an answer took in the two processes, for what is stored with PostgreSQL; other work on the machine disturbs it less.",
		"CPU s/1000, allocs: of the service's process for one answer, without PostgreSQL and the client.",
		fmt.Sprintf("p50, p99: times within which half and 99 of 100 answers came at %.0f %% of the answers a second found, at even distances, counted from when each was due.", 100*loadShare),
		"busy: of a processor, the service's process while times were taken, without PostgreSQL. It is more than the share of the answers: those that come one by one cost more than those of a rush, and where " +
			"it is near 100 % every pause of either side is waited for long. bare p99: of the echo handler at the same share of its own pace, on the same processor.",
		fmt.Sprintf("Memory of the service, resident: %.0f MB at rest, %.0f MB after all of this.", r.Rest/1e6, r.After/1e6),
	}
	if single, batch := r.find("check of 4 kinds, computed"), r.find("batch of 20 checks of 4 kinds"); single != nil && batch != nil {
		notes = append(notes, fmt.Sprintf("A check of 4 kinds takes %.3f ms of a processor in a batch and %.3f ms alone.", batch.CPU/float64(batch.Lists), single.CPU))
	}
	return notes
}

func (r *Report) find(question string) *Figures {
	for i := range r.Figures {
		if r.Figures[i].Question == question {
			return &r.Figures[i]
		}
	}
	return nil
}

// Write writes the figures as a table for a terminal.
func (r *Report) Write(w io.Writer) error {
	rows := r.rows()
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, text := range row {
			widths[i] = max(widths[i], len(text))
		}
	}
	var b strings.Builder
	for _, row := range rows {
		for i, text := range row {
			width := widths[i]
			if i == 0 {
				width = -width // flush left
			}
			fmt.Fprintf(&b, "%*s  ", width, text)
		}
		b.WriteString("\n")
	}
	b.WriteString("\n" + strings.Join(r.notes(), "\n") + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// markdown is the table for a document.
func (r *Report) markdown() string {
	var b strings.Builder
	for i, row := range r.rows() {
		b.WriteString("| " + strings.Join(row, " | ") + " |\n")
		if i == 0 {
			b.WriteString("| ---" + strings.Repeat(" | ---:", len(row)-1) + " |\n")
		}
	}
	return b.String() + "\n- " + strings.Join(r.notes(), "\n- ") + "\n"
}

// WriteInto puts the table into a document, in the place of the one before.
func (r *Report) WriteInto(file string) error {
	return loadtest.PutInto(file, "commensal bench", r.markdown())
}
