// Package published holds a table of published measurements against the catalogue: which values agree,
// which differ, by how much and to which side. The numbers of the table stay in the table; what can be
// kept is that a source agrees, as [species.Mark].
package published
