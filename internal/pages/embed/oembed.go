package embed

import (
	"encoding/json"
	"encoding/xml"
)

// OEmbed is an answer of type "rich" as https://oembed.com/ has it.
type OEmbed struct {
	XMLName         xml.Name `json:"-" xml:"oembed"`
	Type            string   `json:"type" xml:"type"`
	Version         string   `json:"version" xml:"version"`
	Title           string   `json:"title" xml:"title"`
	ProviderName    string   `json:"provider_name" xml:"provider_name"`
	ProviderURL     string   `json:"provider_url" xml:"provider_url"`
	CacheAge        int      `json:"cache_age" xml:"cache_age"` // seconds
	HTML            string   `json:"html" xml:"html"`
	Width           int      `json:"width" xml:"width"` // CSS pixels
	Height          int      `json:"height" xml:"height"`
	ThumbnailURL    string   `json:"thumbnail_url" xml:"thumbnail_url"`
	ThumbnailWidth  int      `json:"thumbnail_width" xml:"thumbnail_width"`
	ThumbnailHeight int      `json:"thumbnail_height" xml:"thumbnail_height"`
}

// JSON is the answer in JSON.
func (o OEmbed) JSON() ([]byte, error) { return json.Marshal(o) }

// XML is the answer in XML.
func (o OEmbed) XML() ([]byte, error) {
	body, err := xml.Marshal(o)
	return append([]byte(xml.Header), body...), err
}
