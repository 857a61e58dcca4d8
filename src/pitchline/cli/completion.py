"""`pitchline completion`: what completes these commands in a shell, made from the commands themselves."""

import argparse
from collections.abc import Iterator

from pitchline.words import in_english, translated

EXAMPLES = (
    (in_english("in this shell"), 'eval "$(pitchline completion bash)"'),
    (
        in_english("in every shell from now on"),
        "pitchline completion bash > ~/.local/share/bash-completion/completions/pitchline",
    ),
)
_BASH = """\
# Completes pitchline in bash: made by `pitchline completion bash`.
_pitchline() {{
    local word="${{COMP_WORDS[COMP_CWORD]}}" before="${{COMP_WORDS[COMP_CWORD-1]}}" verb="" at
    for ((at = 1; at < COMP_CWORD; at++)); do
        case "$verb ${{COMP_WORDS[at]}}" in
            {paths}) verb="$verb ${{COMP_WORDS[at]}}" ;;
        esac
    done
    COMPREPLY=()
    case "$verb $before" in
{values}
    esac
    case "$verb" in
{words}
    esac
}}
complete -o default -F _pitchline pitchline
"""


def add(completion: argparse.ArgumentParser) -> None:
    """Its options."""
    completion.add_argument("shell", choices=("bash",), help=translated("for which shell"))


def run(asked: argparse.Namespace) -> None:
    """Print it."""
    from pitchline.cli import COMMANDS, parser

    del asked
    whole = parser(tuple(COMMANDS))
    print(bash_script(whole), end="")


def bash_script(whole: argparse.ArgumentParser) -> str:
    """A script that completes commands, verbs, options and choices; where none fit, bash completes names of files."""
    paths, values, words = [], [], []
    for path, one in _commands("", whole):
        if path:
            paths.append(f'"{path}"')
        named = [option for action in one._actions for option in action.option_strings if option.startswith("--")]
        for action in one._actions:
            if isinstance(action, argparse._SubParsersAction):
                words.append((f"{path}", list(action.choices)))
            elif action.choices and action.option_strings:
                where = "|".join(f'"{path} {option}"' for option in action.option_strings)
                values.append((where, [str(choice) for choice in action.choices]))
            elif action.nargs != 0 and action.option_strings:  # a file, a figure or a day follows
                values.append(("|".join(f'"{path} {option}"' for option in action.option_strings), []))
            elif action.choices:
                words.append((path, [str(choice) for choice in action.choices]))
        words.append((path, named))
    offered: dict[str, list[str]] = {}
    for path, found in words:
        offered.setdefault(path, []).extend(found)
    return _BASH.format(
        paths="|".join(paths),
        values="\n".join(f"        {where}) {_reply(found)}return ;;" for where, found in values),
        words="\n".join(f'        "{path}") {_reply(found)};;' for path, found in offered.items()),
    )


def _reply(words: list[str]) -> str:
    return f'COMPREPLY=($(compgen -W "{" ".join(words)}" -- "$word")); ' if words else ""


def _commands(path: str, one: argparse.ArgumentParser) -> Iterator[tuple[str, argparse.ArgumentParser]]:
    """A parser and those of its verbs, each with the words that lead there, a space before each."""
    yield path, one
    for action in one._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, verb in action.choices.items():
                yield from _commands(f"{path} {name}", verb)
