package ruleset

import "printlint/internal/catalog"

// object is a piece of JSON Schema.
type object = map[string]any

// schema is what the shapes of keys are drawn from.
type schema struct{ catalog []catalog.Measure }

func aWord(*schema) object                                             { return object{"type": "string", "pattern": `\S`} }
func aDay(*schema) object                                              { return nil }
func anExpression(*schema) object                                      { return nil }
func theNumberOne(*schema) object                                      { return object{"const": 1} }
func theMeasures(s *schema) object                                     { return nil }
func rulesShape(*schema) object                                        { return nil }
func limitsShape(*schema) object                                       { return nil }
func twoCorners(*schema) object                                        { return nil }
func aQuantity(u catalog.Unit) func(*schema) object                    { return nil }
func threeQuantities(u catalog.Unit) func(*schema) object              { return nil }
func oneOf(words ...string) func(*schema) object                       { return nil }
func listOf(of func(*schema) object) func(*schema) object              { return nil }
func mapOf[T any](keys *[]key[T], need ...string) func(*schema) object { return nil }
