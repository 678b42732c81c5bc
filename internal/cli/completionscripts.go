package cli

import (
	"fmt"
	"strings"
)

// bashScript completes words by the one before; files are left to bash itself.
func bashScript(list []completed) string {
	var b strings.Builder
	b.WriteString(`# bash completion for printlint
_printlint() {
  local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} words=
  if [ "$current" = = ]; then
    current=
  elif [ "$before" = = ]; then
    before=${COMP_WORDS[COMP_CWORD-2]}
  fi
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    before=
  fi
  case "${COMP_WORDS[1]} $before" in
`)
	var names []string
	for _, c := range list {
		names = append(names, c.name)
		for _, f := range c.flags {
			if f.value {
				fmt.Fprintf(&b, "  '%s --%s') words='%s' ;;\n", c.name, f.name, strings.Join(f.words, " "))
			}
		}
	}
	b.WriteString("  *) case \"${COMP_WORDS[1]} $current\" in\n")
	for _, c := range list {
		var flags []string
		for _, f := range c.flags {
			flags = append(flags, "--"+f.name)
		}
		fmt.Fprintf(&b, "    '%s '-*) words='%s' ;;\n", c.name, strings.Join(flags, " "))
		if c.words != nil {
			fmt.Fprintf(&b, "    '%s '*) words='%s' ;;\n", c.name, strings.Join(c.words, " "))
		}
	}
	fmt.Fprintf(&b, `    esac
    if [ "$COMP_CWORD" -eq 1 ]; then
      words='%s'
    fi
  esac
  while IFS= read -r word; do
    COMPREPLY+=("$word")
  done < <(compgen -W "$words" -- "$current")
}
complete -o default -F _printlint printlint
`, strings.Join(names, " "))
	return b.String()
}

// zshScript describes each command to zsh's own completer of arguments.
func zshScript(list []completed) string {
	var b strings.Builder
	b.WriteString("#compdef printlint\n_printlint() {\n  local -a commands\n  commands=(\n")
	for _, c := range list {
		fmt.Fprintf(&b, "    %s\n", quoted(c.name+":"+c.summary, `'\''`))
	}
	b.WriteString("  )\n  if (( CURRENT == 2 )); then\n    _describe command commands\n    return\n  fi\n  local command=${words[2]}\n  shift words\n  (( CURRENT-- ))\n  case $command in\n")
	escape := strings.NewReplacer("[", `\[`, "]", `\]`, ":", `\:`)
	for _, c := range list {
		fmt.Fprintf(&b, "  %s) _arguments \\\n", c.name)
		for _, f := range c.flags {
			spec := "[" + escape.Replace(f.does) + "]"
			switch {
			case f.words != nil:
				spec = "=" + spec + ":word:(" + strings.Join(f.words, " ") + ")"
			case f.value:
				spec = "=" + spec + ":value:_files"
			}
			fmt.Fprintf(&b, "    %s \\\n", quoted("--"+f.name+spec, `'\''`))
		}
		last := "'*:file:_files'"
		if c.words != nil {
			last = "'*:name:(" + strings.Join(c.words, " ") + ")'"
		}
		b.WriteString("    " + last + " ;;\n")
	}
	b.WriteString("  esac\n}\nif [ \"${funcstack[1]}\" = _printlint ]; then\n  _printlint \"$@\"\nelse\n  compdef _printlint printlint\nfi\n")
	return b.String()
}

// fishScript is a line a command, flag and word list.
func fishScript(list []completed) string {
	var b strings.Builder
	quote := func(text string) string { return quoted(strings.ReplaceAll(text, `\`, `\\`), `\'`) }
	b.WriteString("# fish completion for printlint\n")
	for _, c := range list {
		fmt.Fprintf(&b, "complete -c printlint -n __fish_use_subcommand -f -a %s -d %s\n", c.name, quote(c.summary))
	}
	for _, c := range list {
		when := fmt.Sprintf("complete -c printlint -n '__fish_seen_subcommand_from %s'", c.name)
		if c.words != nil {
			fmt.Fprintf(&b, "%s -f -a %s\n", when, quote(strings.Join(c.words, " ")))
		}
		for _, f := range c.flags {
			short, takes := "", ""
			if f.short != "" {
				short = " -s " + f.short
			}
			switch {
			case f.words != nil:
				takes = " -x -a " + quote(strings.Join(f.words, " "))
			case f.value:
				takes = " -r -F"
			}
			fmt.Fprintf(&b, "%s -l %s%s%s -d %s\n", when, f.name, short, takes, quote(f.does))
		}
	}
	return b.String()
}

// powershellScript looks words up in a table; files are left to the shell where it answers nothing.
func powershellScript(list []completed) string {
	var b strings.Builder
	b.WriteString("# PowerShell completion for printlint\n$printlintWords = @{\n")
	row := func(key string, words []string) {
		quotedWords := make([]string, len(words))
		for i, w := range words {
			quotedWords[i] = quoted(w, "''")
		}
		fmt.Fprintf(&b, "  %s = @(%s)\n", quoted(key, "''"), strings.Join(quotedWords, ", "))
	}
	var names []string
	for _, c := range list {
		names = append(names, c.name)
		var flags []string
		for _, f := range c.flags {
			flags = append(flags, "--"+f.name)
			if f.value {
				row(c.name+" --"+f.name, f.words)
			}
		}
		row(c.name+" -", flags)
		row(c.name, c.words)
	}
	row("", names)
	b.WriteString(`}
Register-ArgumentCompleter -Native -CommandName printlint -ScriptBlock {
  param($current, $line, $cursor)
  $said = @($line.CommandElements | Where-Object { $_.Extent.EndOffset -lt $cursor } | ForEach-Object { $_.Extent.Text })
  $key = ''
  if ($said.Count -gt 1) {
    $key = $said[1]
    $before = $said[-1]
    if ($printlintWords.ContainsKey("$key $before")) { $key = "$key $before" }
    elseif ($current -like '-*') { $key = "$key -" }
  }
  $printlintWords[$key] | Where-Object { $_ -like "$current*" } | ForEach-Object {
    [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_)
  }
}
`)
	return b.String()
}
