# Completion of kerfmark for fish: the program knows what may stand next.
function __kerfmark_next
    set -l typed (commandline -opc)
    set -l current (commandline -ct)
    for word in (kerfmark completion -- $typed[2..-1] "$current" 2>/dev/null)
        if test "$word" = ":files"
            __fish_complete_path "$current"
        else
            echo $word
        end
    end
end
complete -c kerfmark -f -a '(__kerfmark_next)'
