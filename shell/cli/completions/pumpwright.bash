# Completion of pumpwright for bash. tests/cli compares the words with the program's help.
_pumpwright() {
    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} command=${COMP_WORDS[1]}
    local commands="check duty size run prove advise handover commission logic worst diagnose fit settings parameters faults habits pipes reckon schema book door serve help"
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        mapfile -t COMPREPLY < <(compgen -W "$commands --help --version" -- "$word")
        return
    fi
    case $before in
    --html | -o | --book | --found | --photo | --columns | --save-columns | --write | --csv | --svg | --png | --catalogue) mapfile -t COMPREPLY < <(compgen -f -- "$word"); return ;;
    --page | --folder) mapfile -t COMPREPLY < <(compgen -d -- "$word"); return ;;
    --address) mapfile -t COMPREPLY < <(compgen -W "127.0.0.1 ::1 localhost" -- "$word"); return ;;
    --units | -u) mapfile -t COMPREPLY < <(compgen -W "metric bar us" -- "$word"); return ;;
    --language) mapfile -t COMPREPLY < <(compgen -W "en de" -- "$word"); return ;;
    --paper) mapfile -t COMPREPLY < <(compgen -W "A4 letter" -- "$word"); return ;;
    --as) mapfile -t COMPREPLY < <(compgen -W "c st" -- "$word"); return ;;
    --grade) mapfile -t COMPREPLY < <(compgen -W "1B 1E 1U 2B 2U 3B" -- "$word"); return ;;
    --colour) mapfile -t COMPREPLY < <(compgen -W "auto always never" -- "$word"); return ;;
    --fault | -m | --set | --length | -l | --every | --state | --release-after | --reset-counters | --years | -y | --horizon | --sweep | --places | --onsets | --keep | --no-sensor | --able | --at-most | --water-price | --call-out-price | --pump-price | --jobs | -j | --seed | -s | --pump | --starts | --ran | --over | --gauge | --gauge-pump-shut | --column | --only | --number | --by | --why | --date | --installer | --owner | --call | --site-address | --port | --timeout) return ;;
    esac
    if [ "$command" = help ]; then
        mapfile -t COMPREPLY < <(compgen -W "$commands" -- "$word")
        return
    fi
    case $word in
    -*)
        local options="--units --language --json --json=line --quiet --colour --help"
        case $command in
        size) options+=" --set --catalogue --explain --pump --length --seed --html" ;;
        run) options+=" --set --fault --length --csv --svg --png --every --state --release-after --reset-counters --seed --html" ;;
        prove) options+=" --set --years --horizon --sweep --places --onsets --pairs --full --strict --jobs --seed --html" ;;
        advise) options+=" --set --years --horizon --sweep --places --onsets --keep --no-sensor --able --at-most --water-price --call-out-price --pump-price --jobs --seed --html" ;;
        handover) options+=" --set --folder --no-proof --paper --date --installer --owner --call --site-address --found --photo --short --grade --years --horizon --sweep --seed" ;;
        logic) options+=" --set --as --pump" ;;
        commission) options+=" --set --grade --html" ;;
        diagnose) options+=" --set --starts --ran --over --nothing-drawn --pump --gauge --gauge-pump-shut --column --columns --save-columns --only --follow --book --date --by --why --seed --html" ;;
        fit) options+=" --set --column --columns --save-columns --only --number --write --seed --html" ;;
        check | duty | worst) options+=" --set --html" ;;
        parameters) options+=" --set" ;;
        pipes | reckon) options="--language --json --json=line --quiet --colour --help" ;;
        book) options="--date --by --why --made-from --language --quiet --colour --help" ;;
        serve) options="--port --address --page --open-to-network --https --timeout --language --quiet --colour --help" ;;
        schema | door) options="--language --quiet --colour --help" ;;
        esac
        mapfile -t COMPREPLY < <(compgen -W "$options" -- "$word")
        ;;
    *)
        local file
        while IFS= read -r file; do
            if [[ -d $file || $file == *.yaml || $file == *.yml || $file == *.json ]]; then COMPREPLY+=("$file"); fi
        done < <(compgen -f -- "$word")
        ;;
    esac
}
complete -o filenames -F _pumpwright pumpwright
