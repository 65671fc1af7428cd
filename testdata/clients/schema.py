"""Holds records against our schema with Debian's python3-jsonschema.

Reads {"schema", "records"} from standard input and writes a list: of each
record, what is wrong with it.
"""

import json
import sys

from jsonschema import Draft202012Validator, FormatChecker

given = json.load(sys.stdin)
Draft202012Validator.check_schema(given["schema"])
validator = Draft202012Validator(given["schema"], format_checker=FormatChecker())

print(json.dumps([[e.message for e in validator.iter_errors(json.loads(text))] for text in given["records"]]))
