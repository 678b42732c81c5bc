package report

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	library "github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// officialSchema is the JSON Schema of SARIF 2.1.0, errata 01, as OASIS publishes it
// at the address that it carries as its id. Its text comes with the library go-sarif,
// which keeps it in an unexported constant; go.sum holds that nobody changed it.
func officialSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/owenrumney/go-sarif/v3").Output()
	require.NoError(t, err)
	path := filepath.Join(strings.TrimSpace(string(dir)), "pkg/report/v210/sarif/schema.go")
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	require.NoError(t, err)
	literal := file.Decls[0].(*ast.GenDecl).Specs[0].(*ast.ValueSpec).Values[0].(*ast.BasicLit)
	text, err := strconv.Unquote(literal.Value)
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	require.NoError(t, err)
	require.Equal(t, sarifSchema, doc.(map[string]any)["id"])
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource(sarifSchema, doc))
	schema, err := c.Compile(sarifSchema)
	require.NoError(t, err)
	return schema
}

// sarifCases are reports of every kind.
func sarifCases() map[string]*finding.Report {
	accepted := gateSample()
	accepted.Models[3].Findings[1].Waived = finding.Accepted("accepted.yml")
	return map[string]*finding.Report{
		"accepted": accepted, "compared": comparedSample(), "machines": changed(onMachines(10)),
		"empty":  {Tool: finding.Tool{Name: "printlint", Version: "1"}},
		"sample": sample(), "gate": gateSample(), "hostile": hostileReport(), "many": manyFindings(6000),
	}
}

// TestSARIFIsValid holds both flavours against the official schema, and that a reader
// of somebody else's finds all of it.
func TestSARIFIsValid(t *testing.T) {
	schema := officialSchema(t)
	for name, r := range sarifCases() {
		for _, format := range []string{"sarif", "code-scanning"} {
			var out bytes.Buffer
			require.NoError(t, Write(&out, format, r, Options{Exit: 1}))
			doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(out.Bytes()))
			require.NoError(t, err)
			assert.NoError(t, schema.Validate(doc), "%s %s", name, format)
			strict := json.NewDecoder(bytes.NewReader(out.Bytes()))
			strict.DisallowUnknownFields()
			var back library.Report
			require.NoError(t, strict.Decode(&back), "%s %s", name, format)
			require.Len(t, back.Runs, 1)
		}
	}
}

// TestTheSchemaCanFail guards the guard.
func TestTheSchemaCanFail(t *testing.T) {
	schema := officialSchema(t)
	for _, bad := range []string{
		`{"version": "2.1.0"}`,
		`{"version": "2.0", "runs": []}`,
		`{"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "a"}}, "results": [{"message": {"text": "a"}, "kind": "bad"}]}]}`,
		`{"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "a"}}, "artifacts": [{"location": {"uri": "%zz"}}]}]}`,
	} {
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(bad))
		require.NoError(t, err)
		assert.Error(t, schema.Validate(doc), bad)
	}
}
