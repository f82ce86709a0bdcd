package main

import (
	"bufio"
	"fmt"
	"os"

	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

func main() {
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil { panic(err) }
	s, err := species.NewSnapshot(0, c)
	if err != nil { panic(err) }
	in := bufio.NewScanner(os.Stdin)
	for in.Scan() {
		l, err := s.ReadLabel(in.Text())
		if err != nil { fmt.Println(in.Text(), "=>", err); continue }
		if len(os.Args) > 1 || !l.Clear() {
			fmt.Print(in.Text(), " = ")
			for _, m := range l.Meanings { fmt.Print(m.Species.ID, " ") }
			if l.Broader > 0 { fmt.Print("+", l.Broader) }
			if l.Other != nil { fmt.Print(*l.Other) }
			fmt.Println(" ", l.Sex, l.LengthCM, l.Count, l.SetAside)
		}
	}
}
