// Package pictures draws what a page shows: two animals to scale, water as ranges on a
// scale, the parts of a score, a floor from above, a list in its tank, lengths over time,
// and the card that link previews show.
//
// A picture is first a [Scene]: marks and labels in CSS pixels, each mark with a name and
// the values it stands for. github.com/tdewolff/canvas builds the paths, sets the type
// and fills the pixels; a scene becomes SVG, whose colours follow the reader's colour
// scheme, or PNG. What a scene shows never depends on colour alone.
//
// The package is pure: the same answer gives the same bytes.
package pictures
