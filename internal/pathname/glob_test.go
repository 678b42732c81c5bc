package pathname

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMatch(t *testing.T) {
	for _, c := range []struct {
		glob, path string
		want       bool
	}{
		{"**/*.stl", "a.stl", true}, {"**/*.stl", "a/b/c.stl", true}, {"*.stl", "a/b.stl", false}, {"a/**", "a/b", true},
		{"a/**", "a", true}, {"a/*", "a/b/c", false}, {"**", "anything/at/all", true}, {"a.{stl,obj}", "a.obj", true},
		{"[ab].stl", "b.stl", true}, {"[!ab].stl", "b.stl", false}, {"a?.stl", "ab.stl", true}, {"A.stl", "a.stl", false},
		{"pack.zip", "pack.zip!/a.stl", true}, {"pack.zip!/**", "pack.zip!/in/a.stl", true}, {"pack.zip!/**", "pack.zip", false},
		{"**/*.zip", "a/pack.zip!/b/in.zip!/c.stl", true}, {"**/in.zip", "pack.zip!/in.zip!/c.stl", true},
		{"**/a.stl", "pack.zip!/in/a.stl", true}, {"in/*", "pack.zip!/in/a.stl", false}, {"a!/b", "a!/b", true},
		// extensions, in any case on either side
		{"**/*.stl", "CLIP.STL", true}, {"*.STL", "clip.stl", true}, {"*.{STL,Obj}", "clip.OBJ", true}, {"clip.stl", "Clip.STL", false},
		{"**/*.zip", "A/PACK.ZIP!/c.stl", true}, {"pack.zip!/*.stl", "pack.ZIP!/c.Stl", true}, {"*.stl.gz", "CLIP.STL.GZ", true},
		{"*.tar.gz", "P.TAR.gz!/x.stl", true}, {"v1.A*", "v1.ab.stl", false}, {"v1.A*", "v1.Ab.stl", true},
		// folders
		{"soft", "soft/a.stl", true}, {"soft/", "soft/deep/a.stl", true}, {"soft/", "soft", true}, {"soft", "softer/a.stl", false},
		{"**/soft", "a/soft/b.stl", true}, {"*/soft/", "a/soft/b.stl", true}, {"soft", "a/soft/b.stl", false}, {"parts/*", "parts/deep/a.stl", false},
		{"parts/*/", "parts/deep/a.stl", true}, {"*", "a/b.stl", false}, {"**/dr-*", "dr-a/b.stl", false}, {"pack.zip!/in", "pack.zip!/in/a.stl", true},
		{"pack.zip!/in/", "pack.zip!/in/a.stl", true}, {"parts", "pack.zip!/parts/a.stl", false}, {"/", "a", false},
		// brackets that are part of a name
		{"[a]_part_x4.stl", "[a]_part_x4.stl", true}, {"[a]_part_x4.stl", "a_part_x4.stl", true}, {"[a]_*.stl", "[a]_part_x4.STL", true},
		{"**/[a]_part_x4.stl", "p/[a]_part_x4.stl", true}, {"[a]_part_x4.stl", "b_part_x4.stl", false}, {"[kit]", "[kit]/a.stl", true},
		{`\[a\].stl`, "[a].stl", true}, {`\[a\].stl`, "a.stl", false}, {"[a]{b,c}.stl", "[a]c.stl", true}, {"{x}.stl", "{x}.stl", true},
	} {
		assert.Equal(t, c.want, Match(c.glob, c.path), "%s on %s", c.glob, c.path)
	}
}

func TestBelow(t *testing.T) {
	assert.True(t, Below([]string{"archive/*"}, "archive/old/deep/a.stl"), "what is left out is left out with all below it")
	assert.True(t, Below([]string{"x", "**/draft-*"}, "p/draft-1/a.stl"))
	assert.True(t, Below([]string{"pack.zip!/draft"}, "pack.zip!/draft/a.stl"))
	assert.False(t, Below([]string{"archive/*"}, "archive"))
	assert.False(t, Below(nil, "a"))
	assert.False(t, Below([]string{"b"}, "../a/b.stl"))
}
