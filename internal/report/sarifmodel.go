package report

import "printlint/internal/finding"

// The part of the SARIF 2.1.0 object model (OASIS standard, errata 01) that is
// written. The structs are our own: the libraries for Go that were looked at write
// every number a region may have, so that a line of text comes with byteOffset -1,
// and a dozen empty lists with each result.

const (
	sarifVersion = "2.1.0"
	sarifSchema  = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool        sarifTool            `json:"tool"`
	Invocations []sarifInvocation    `json:"invocations"`
	Bases       map[string]sarifBase `json:"originalUriBaseIds,omitempty"`
	Artifacts   []sarifArtifact      `json:"artifacts"`
	Results     []sarifResult        `json:"results"`
	Properties  *sarifRunProperties  `json:"properties,omitempty"`
}

type sarifTool struct {
	Driver struct {
		Name    string      `json:"name"`
		Version string      `json:"version"`
		Rules   []sarifRule `json:"rules"`
	} `json:"driver"`
}

type sarifRule struct {
	ID      string       `json:"id"`
	Short   sarifMessage `json:"shortDescription"`
	Full    sarifMessage `json:"fullDescription"`
	Help    sarifMessage `json:"help"`
	Default struct {
		Enabled bool   `json:"enabled"`
		Level   string `json:"level"`
	} `json:"defaultConfiguration"`
}

type sarifMessage struct {
	Text     string `json:"text"`
	Markdown string `json:"markdown,omitempty"`
}

type sarifInvocation struct {
	Successful      bool                `json:"executionSuccessful"`
	ExitCode        int                 `json:"exitCode"`
	ExitDescription string              `json:"exitCodeDescription"`
	Notifications   []sarifNotification `json:"toolExecutionNotifications,omitempty"`
	Configuration   []sarifNotification `json:"toolConfigurationNotifications,omitempty"`
}

type sarifNotification struct {
	Level     string          `json:"level"`
	Message   sarifMessage    `json:"message"`
	Locations []sarifLocation `json:"locations,omitempty"`
}

type sarifBase struct {
	Description sarifMessage `json:"description"`
}

type sarifArtifact struct {
	Location    sarifArtifactLocation `json:"location"`
	ParentIndex *int                  `json:"parentIndex,omitempty"`
	MimeType    string                `json:"mimeType,omitempty"`
	Roles       []string              `json:"roles,omitempty"`
	Hashes      map[string]string     `json:"hashes,omitempty"` // by the name of the algorithm
}

type sarifArtifactLocation struct {
	URI   string `json:"uri"`
	Base  string `json:"uriBaseId,omitempty"`
	Index *int   `json:"index,omitempty"`
}

type sarifResult struct {
	RuleID       string               `json:"ruleId"`
	RuleIndex    int                  `json:"ruleIndex"`
	Kind         string               `json:"kind"`
	Level        string               `json:"level"`
	Message      sarifMessage         `json:"message"`
	Locations    []sarifLocation      `json:"locations"`
	Fingerprints map[string]string    `json:"partialFingerprints,omitempty"`
	Suppressions *[]sarifSuppression  `json:"suppressions,omitempty"`
	Baseline     string               `json:"baselineState,omitempty"`
	Properties   *sarifResultProperty `json:"properties,omitempty"`

	first bool // it says that something could not be judged, and is never left out
}

type sarifLocation struct {
	Physical sarifPhysical  `json:"physicalLocation"`
	Logical  []sarifLogical `json:"logicalLocations,omitempty"`
}

type sarifPhysical struct {
	Artifact sarifArtifactLocation `json:"artifactLocation"`
	Region   *sarifRegion          `json:"region,omitempty"`
}

// sarifRegion is a text region or a binary region, never both: a number of one kind
// that is absent must not be written as 0.
type sarifRegion struct {
	StartLine   int    `json:"startLine,omitempty"`
	StartColumn int    `json:"startColumn,omitempty"`
	EndLine     int    `json:"endLine,omitempty"`
	EndColumn   int    `json:"endColumn,omitempty"`
	ByteOffset  *int64 `json:"byteOffset,omitempty"`
	ByteLength  *int64 `json:"byteLength,omitempty"`
}

type sarifLogical struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
}

type sarifSuppression struct {
	Kind          string `json:"kind"`
	Status        string `json:"status"`
	Justification string `json:"justification,omitempty"`
}

// sarifRunProperties is the property bag of the run.
type sarifRunProperties struct {
	Config  string          `json:"rulesConfig"`
	Rules   string          `json:"rulesDigest"`
	Sets    []string        `json:"ruleSets"`
	Summary finding.Summary `json:"summary"`
	// Of a run for several machines.
	Machines []finding.Machine  `json:"machines,omitempty"`
	Where    *finding.FailWhere `json:"failWhere,omitempty"`
	Matrix   []sarifRow         `json:"matrix,omitempty"`
}

// sarifRow is what each machine makes of a model.
type sarifRow struct {
	Location sarifArtifactLocation `json:"artifactLocation"`
	Part     string                `json:"part,omitempty"`
	Cells    []sarifCell           `json:"byMachine"`
}

// sarifCell is what one of them makes of it.
type sarifCell struct {
	Machine  string             `json:"machine"`
	Kind     string             `json:"kind"` // as results have it (3.27.9)
	Message  sarifMessage       `json:"message"`
	Findings finding.LevelCount `json:"findings"`
}

// sarifResultProperty is the property bag of a result: where and how much, in mm and
// degrees in the file's own frame.
type sarifResultProperty struct {
	Level    finding.Level  `json:"level"` // as the rule says, where kind allows none
	Triangle int            `json:"triangle,omitempty"`
	At       [3]float64     `json:"at"`
	Box      [2][3]float64  `json:"box"`
	Values   finding.Values `json:"values"`
	Limits   finding.Values `json:"limits"`
	Machines []string       `json:"machines,omitempty"` // on which it holds, of a run for several
}
