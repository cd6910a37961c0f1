"""The words of the findings from content/findings: one file a rule, held to the rules that compute declares."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from pathlib import Path

from generator.errors import FILE_KEY, Fault, InputFaults
from generator.model.content.finding_words import (
    ACT,
    ACT_SIGNS,
    BRIEF,
    OTHER_ACT_SIGNS,
    TEXTS,
    VALUE_SIGNS,
    FindingBook,
    FindingWords,
    OtherWords,
    SentencePart,
    SharedWords,
    places,
)
from generator.model.finding_rules import REASONS, Names, Rule
from generator.read.content.shared_words import SHARED, filled_in, laid_over, other_faults, read_shared, shared_faults
from generator.read.yaml.yaml_file import YamlFile, load_yaml_file
from generator.read.yaml.yaml_marks import Path as KeyPath

FOLDER = "findings"


def read_finding_words(content: Path, rules: Mapping[str, Rule], said: Names, *, language: str = "en") -> FindingBook:
    """Return the words by rule. InputFaults for all that is missing, unused or misspelt, each with its place.

    `content` is the folder of that name, `said` the shared sentences that are said of what is no finding, with their
    values. Where there is a folder content/<language>/findings its entries stand for the English ones.
    """
    name = f"{content.name}/{FOLDER}"
    folder, other = content / FOLDER, content / language / FOLDER
    shared = read_shared(folder, name)
    over = read_shared(other, f"{content.name}/{language}/{FOLDER}")
    words = laid_over(shared.words, over.words)
    paths = [path for path in sorted(folder.glob("*.yaml")) if path.name != SHARED]
    read = [load_yaml_file(path, FindingWords, f"{name}/{path.name}") for path in paths]
    faults = [
        *shared.faults,
        *(fault for file in read for fault in file.faults),
        *shared_faults(shared, read, rules, said=said),
        *over.faults,
        *other_faults(over, shared.words),
    ]
    files = {}
    for file, unknown in (filled_in(one, words, rules) for one in read):
        files[file.stem] = file
        faults += [*unknown, *_faults(file, rules)]
    for rule in sorted(rules.keys() - files.keys()):
        faults.append(Fault(f"{name}/{rule}.yaml", 1, 1, FILE_KEY, "this file is missing", "the words of the rule"))
    if faults:
        raise InputFaults(faults)
    for path in (path for path in sorted(other.glob("*.yaml")) if path.name != SHARED):
        file, unknown = _of_other_language(path, f"{over.name}/{path.name}", files, shared=words, rules=rules)
        files[file.stem] = file
        faults += [*file.faults, *unknown, *_faults(file, rules, OTHER_ACT_SIGNS)]
    if faults:
        raise InputFaults(faults)
    reasons = {code: word for name in REASONS for code, word in words.choices.get(name, {}).items()}
    return FindingBook({stem: file.value for stem, file in files.items() if file.value}, words.sentences, reasons)


def _of_other_language(
    path: Path,
    name: str,
    english: Mapping[str, YamlFile[FindingWords]],
    *,
    shared: SharedWords,
    rules: Mapping[str, Rule],
) -> tuple[YamlFile[FindingWords], list[Fault]]:
    """Return the words of a rule with the entries of another language's file in the place of the English ones."""
    file = load_yaml_file(path, OtherWords, name)
    own = english.get(file.stem)
    if file.value is None or own is None or own.value is None:
        missing = [file.fault(("rule",), f"no rule is called '{file.stem}'", "the name of a rule, or no such file")]
        return YamlFile(name, file.stem, None, file.document, file.faults), missing if own is None else []
    if file.value.rule != file.stem:
        wrong = file.fault(("rule",), f"'{file.value.rule}' is not the file's name", f"write {file.stem}")
        return YamlFile(name, file.stem, None, file.document, file.faults), [wrong]
    return filled_in(YamlFile(name, file.stem, file.value.over(own.value), file.document, ()), shared, rules)


def _faults(file: YamlFile[FindingWords], rules: Mapping[str, Rule], act_signs: int = ACT_SIGNS) -> Iterator[Fault]:
    words = file.value
    if words is None:
        return
    if words.rule != file.stem:
        yield file.fault(("rule",), f"'{words.rule}' is not the file's name", f"write {file.stem}, or rename the file")
    rule = rules.get(words.rule)
    if rule is None:
        yield file.fault(("rule",), f"no rule is called '{words.rule}'", "the name of a rule, or no such file")
        return
    yield from _unequal(file, ("cases",), words.cases, declared=rule.cases, kind="case")
    for name in sorted(set(words.passed) - set(rule.cases)):
        yield file.fault(("passed",), f"the rule has no case '{name}'", _one_of(rule.cases))
    yield from _unequal(file, ("lists",), words.lists, declared=rule.lists, kind="list")
    yield from _unequal(file, ("choices",), words.choices, declared=rule.choices, kind="choice")
    for name in words.choices.keys() & rule.choices.keys():
        yield from _unequal(file, ("choices", name), words.words(name), declared=rule.choices[name], kind="code")
    for name in words.lists.keys() & rule.lists.keys():
        stated, given = words.places(words.lists[name].text), set(rule.lists[name])
        yield from _unknown(file, ("lists", name, "text"), stated, given=given)
        yield from _unused(file, ("lists", name, "text"), given - set(stated))
        if (gather := words.lists[name].gather) is not None and gather not in given:
            yield file.fault(("lists", name, "gather"), f"'{gather}' is no value of the list", _one_of(given))
    for name in (case for case in words.cases if case in rule.cases):
        yield from _case_faults(file, words, rule, case=name, act_signs=act_signs)
    yield from _condition_faults(file, words, rule)
    yield from _unsaid(file, words)


def _case_faults(
    file: YamlFile[FindingWords], words: FindingWords, rule: Rule, *, case: str, act_signs: int
) -> Iterator[Fault]:
    """Yield a fault for each text that is missing, each place without a value, and each value without a place."""
    values, used = rule.cases[case], set[str]()
    given = {*values, *rule.lists}
    for key in TEXTS:
        if (key in BRIEF and case in words.passed) or (key == ACT and case not in rule.stops):
            continue
        own = getattr(words.cases[case], key) is not None
        said = [part for part in words.parts(case, key) if _may_apply(part, case, given)]
        if key == ACT and (signs := _most_signs(words, said, case)) > act_signs:
            wrong = f"it has {signs} signs with the name of the rule"
            most = f"at most {act_signs}: what stands below a stop in a terminal"
            yield file.fault(("cases", case, key) if own else (key,), wrong, most)
        if not said:
            yield file.fault(("cases", case), f"the case has no '{key}'", f"'{key}' here or for the whole rule")
        for part in said:
            used.update((*words.places(part.text), *part.when, *part.unless))
            yield from _unknown(file, ("cases", case, key) if own else (key,), words.places(part.text), given=given)
    yield from _unused(file, ("cases", case), set(values) - used)


def _most_signs(words: FindingWords, parts: Collection[SentencePart], case: str) -> int:
    """Return how many signs the longest of these parts has, and those that are always said together."""
    always = [part for part in parts if (not part.when or case in part.when) and not part.unless]
    return max((_signs(words, said) for said in (always, *([part] for part in parts))), default=0)


def _signs(words: FindingWords, parts: Collection[SentencePart]) -> int:
    """Return how many signs these parts have with the name of their rule, a value counted as VALUE_SIGNS."""
    text = " ".join(part.text for part in parts)
    for name in places(text):
        longest = max(map(len, words.words(name).values()), default=VALUE_SIGNS)
        text = text.replace(f"{{{name}}}", " " * longest)
    return len(text) + len(words.rule)


def _may_apply(part: SentencePart, case: str, given: Collection[str]) -> bool:
    return case not in part.unless and (not part.when or any(name in {case, *given} for name in part.when))


def _condition_faults(file: YamlFile[FindingWords], words: FindingWords, rule: Rule) -> Iterator[Fault]:
    """Yield a fault for each condition that is neither case nor value nor list of the rule."""
    known = {*rule.cases, *(name for names in rule.cases.values() for name in names), *rule.lists}
    for path, texts in [((), words), *((("cases", name), case) for name, case in words.cases.items())]:
        for key in TEXTS:
            for part in getattr(texts, key) or ():
                for name in (*part.when, *part.unless):
                    if name not in known:
                        yield file.fault((*path, key), f"'{name}' is no case, value or list of it", _one_of(known))


def _unsaid(file: YamlFile[FindingWords], words: FindingWords) -> Iterator[Fault]:
    """Yield a fault for each text of the rule that every case replaces, and for each list that no text names."""
    for key in TEXTS:
        if getattr(words, key) and all(getattr(case, key) for case in words.cases.values()):
            yield file.fault((key,), "every case has a text of its own instead", "leave this one out")
    texts = (part.text for case in words.cases for key in TEXTS for part in words.parts(case, key))
    named = {place for text in texts for place in places(text)}
    for name in words.lists.keys() - named:
        yield file.fault(("lists", name), "no text names this list", f"{{{name}}} in a text")


def _unknown(
    file: YamlFile[FindingWords], path: KeyPath, named: Collection[str], *, given: Collection[str]
) -> Iterator[Fault]:
    for name in dict.fromkeys(named):
        if name not in given:
            yield file.fault(path, f"no value is called '{name}' here", _one_of(given))


def _unused(file: YamlFile[FindingWords], path: KeyPath, unused: Collection[str]) -> Iterator[Fault]:
    for name in sorted(unused):
        yield file.fault(path, f"no text shows the value '{name}'", f"{{{name}}} in a text")


def _unequal(
    file: YamlFile[FindingWords], path: KeyPath, stated: Collection[str], *, declared: Collection[str], kind: str
) -> Iterator[Fault]:
    for name in sorted(set(stated) - set(declared)):
        yield file.fault((*path, name), f"the rule has no {kind} '{name}'", _one_of(declared))
    for name in sorted(set(declared) - set(stated)):
        yield file.fault(path, f"the {kind} '{name}' is missing", "its words")


def _one_of(names: Collection[str]) -> str:
    return f"one of {', '.join(sorted(names))}" if names else "none: the rule gives none here"
