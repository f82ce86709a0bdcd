package pages

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"path"
	"strings"
)

//go:embed assets
var assetFiles embed.FS

//go:embed templates
var templateFiles embed.FS

// assets are our own style sheets, scripts and icon. A name with the hash of its content
// in it may be kept for good.
type assets struct {
	files  map[string][]byte // by hashed name, and the icon by its own
	hashed map[string]string // path by plain name
}

func newAssets() (*assets, error) {
	a := &assets{map[string][]byte{}, map[string]string{}}
	list, err := fs.ReadDir(assetFiles, "assets")
	if err != nil {
		return nil, err
	}
	for _, f := range list {
		content, err := assetFiles.ReadFile("assets/" + f.Name())
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(content)
		ext := path.Ext(f.Name())
		name := strings.TrimSuffix(f.Name(), ext) + "." + hex.EncodeToString(sum[:6]) + ext
		a.files[name], a.files[f.Name()] = content, content
		a.hashed[f.Name()] = "/assets/" + name
	}
	return a, nil
}

var assetTypes = map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": svgType}

// asset answers one of our own files.
func (q *request) asset() *reply {
	name := q.value("file")
	content, ok := q.render.assets.files[name]
	if !ok {
		return q.missing()
	}
	age := pageAge
	if strings.Count(name, ".") == 2 {
		age = assetAge
	}
	return made(assetTypes[path.Ext(name)], content, dataPolicy, age)
}

// icon leads browsers that ask for an icon by its old name to ours.
func (q *request) icon() *reply { return redirect("/assets/icon.svg") }
