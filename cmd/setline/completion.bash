# What the script below needs of the package bash-completion, for shells that
# have not got it.
__setline_words() {
    if declare -F _get_comp_words_by_ref >/dev/null 2>&1; then
        _get_comp_words_by_ref "$@"
        return
    fi
    # Bash has split the line at = and : too; what stands there unseparated is
    # one word, and nothing behind the cursor counts.
    local line=${COMP_LINE:0:COMP_POINT} i word last= apart
    words=() cword=-1
    for ((i = 0; i <= COMP_CWORD; i++)); do
        apart=
        while [[ $line == [[:space:]]* ]]; do
            line=${line#?} apart=yes
        done
        word=${COMP_WORDS[i]}
        if ((i == COMP_CWORD)); then
            word=$line
        fi
        line=${line#"$word"}
        if [[ $cword -ge 0 && -z $apart && ($word == [=:]* || $last == *[=:]) ]]; then
            words[cword]+=$word
        else
            cword=$((cword + 1))
            words[cword]=$word
        fi
        last=$word
    done
    cur=${words[cword]} prev=
    if ((cword > 0)); then
        prev=${words[cword - 1]}
    fi
}

__setline_files() {
    if declare -F _filedir >/dev/null 2>&1; then
        _filedir "$@"
        return
    fi
    compopt -o filenames >/dev/null 2>&1
    local found ending
    while IFS= read -r found; do
        COMPREPLY+=("$found")
    done < <(
        case ${1-} in
        '') compgen -f -- "$cur" ;;
        -d) compgen -d -- "$cur" ;;
        *)
            compgen -d -- "$cur"
            local IFS='|'
            for ending in $1; do
                compgen -f -X "!*.$ending" -- "$cur"
            done
            ;;
        esac
    )
}

