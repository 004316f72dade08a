/** What the parser's syntax codes mean to someone who has never read the YAML specification, and how to mend it. */
export const SYNTAX_SENTENCES: Readonly<Record<string, string>> = {
  TAB_AS_INDENT: 'the line is indented with a tab: YAML wants blanks, two for each level',
  BAD_INDENT: 'the indentation does not fit, or a bracket above is not closed: use two blanks for each level',
  BLOCK_AS_IMPLICIT_KEY:
    'a second colon or a deeper line follows a value: give each key its own line, or put the text in quotes',
  MULTILINE_IMPLICIT_KEY: 'a key and its colon must stand on one line: is a blank missing after a colon?',
  MISSING_CHAR: 'something is not closed or a colon is missing: look for a quote, a bracket or a key without its value',
  BLOCK_IN_FLOW: 'an indented block cannot stand between brackets: close the bracket first',
  UNEXPECTED_TOKEN: 'this does not belong here: look for a bracket, a quote or a dash too many',
  BAD_SCALAR_START: 'a text cannot begin with this character: put it in quotes',
  BAD_DQ_ESCAPE: 'a backslash between double quotes begins an escape: use single quotes, or two backslashes',
  BAD_ALIAS: 'the name after * or & is not complete: a text that begins so stands in quotes',
  ALIAS_PROPS: 'an alias takes no tag and no anchor',
  MULTIPLE_ANCHORS: 'one value has several anchors: keep one',
  MULTIPLE_TAGS: 'one value has several tags: keep one',
  TAG_RESOLVE_FAILED: 'a tag that has no meaning here: leave it out',
  BAD_DIRECTIVE: 'a line that begins with % is a directive that is not known: put the text in quotes',
  MISSING_DIRECTIVES_END: 'a line --- must follow the directives',
  KEY_OVER_1024_CHARS: 'a key longer than 1,024 characters: is a line end missing?',
  BAD_COLLECTION_TYPE: 'the tag does not fit the value: leave it out',
  BAD_PROP_ORDER: 'tag and anchor stand before the value and on its line',
  IMPOSSIBLE: 'this cannot be read as YAML',
};
