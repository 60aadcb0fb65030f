# Completion of kerfmark for bash: the program knows what may stand next.
_kerfmark()
{
    local word files=
    COMPREPLY=()
    while IFS= read -r word; do
        if [[ $word == :files ]]; then
            files=yes
        else
            COMPREPLY+=("$(printf %q "${word%%$'\t'*}")")
        fi
    done < <(kerfmark completion -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
    if [[ $files ]]; then
        compopt -o filenames
        while IFS= read -r word; do
            COMPREPLY+=("$word")
        done < <(compgen -f -- "${COMP_WORDS[COMP_CWORD]}")
    fi
}
complete -F _kerfmark kerfmark
