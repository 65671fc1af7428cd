package describe

import (
	"maps"
	"slices"
	"strings"

	"github.com/invopop/jsonschema"
)

// describeWhereUsed takes the descriptions of definitions to where those are
// referred to and nothing is said of them yet. An editor that follows a
// reference lets what the definition says go before what the field says, and
// would explain "Left end" by what an end is.
func describeWhereUsed(s *jsonschema.Schema) {
	said := map[string]string{}
	names := slices.Sorted(maps.Keys(s.Definitions))
	for _, name := range names {
		definition := s.Definitions[name]
		said[name], definition.Description = definition.Description, ""
	}
	say := func(s *jsonschema.Schema) {
		if name, ok := strings.CutPrefix(s.Ref, "#/$defs/"); ok && s.Description == "" {
			s.Description = said[name]
		}
	}
	within(s, say)
	for _, name := range names {
		within(s.Definitions[name], say)
	}
}

// within calls do with s and every schema in it.
func within(s *jsonschema.Schema, do func(*jsonschema.Schema)) {
	if s == nil {
		return
	}
	do(s)
	within(s.Items, do)
	within(s.AdditionalProperties, do)
	for pair := s.Properties.Oldest(); pair != nil; pair = pair.Next() {
		within(pair.Value, do)
	}
}
