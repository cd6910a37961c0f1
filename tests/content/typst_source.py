"""What stands typed in a Typst source: the text of its markup, and the strings of its code with what is before them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

_CLOSING = {"(": ")", "{": "}", "[": "]"}
_BLOCKS = re.compile(r"(if|for|while)\b")
_ELSE = re.compile(r"\s*else\b(\s+if\b)?\s*")
_CONTEXT = re.compile(r"context ")
_NAME = re.compile(r"(?<=#)[A-Za-z_][\w-]*|(?<=#)(?=[({[])|\.[A-Za-z_][\w-]*|(?<=context )[A-Za-z_][\w-]*")
_BODY = re.compile(r"(?<=\s)[\[{]")
_STRING = re.compile(r'"((?:[^"\\]|\\.)*)"')
_COMMENT = re.compile(r"//[^\n]*")


@dataclass
class Source:
    """A source whose outermost level is read as code: there, a template of ours has no text."""

    text: str
    at: int = 0
    typed: list[str] = field(default_factory=list)  # of the markup
    strings: list[tuple[str, str, str]] = field(default_factory=list)  # before, the string, behind

    def read(self) -> Source:
        self._code("")
        return self

    def _code(self, closing: str) -> None:
        while self.at < len(self.text):
            sign = self.text[self.at]
            if sign == closing:
                self.at += 1
                return
            self._code_token(sign)
        assert not closing, f"no {closing} behind {self.text[-40:]!r}"

    def _code_token(self, sign: str) -> None:
        if found := _COMMENT.match(self.text, self.at):
            self.at = found.end()
        elif found := _STRING.match(self.text, self.at):
            self.strings.append((self.text[: self.at], found[1], self.text[found.end() :]))
            self.at = found.end()
        elif sign in _CLOSING:
            self._group()
        else:
            self.at += 1

    def _group(self) -> None:
        sign = self.text[self.at]
        self.at += 1
        if sign == "[":
            self._markup()
        else:
            self._code(_CLOSING[sign])

    def _markup(self) -> None:
        typed = ""
        while (sign := self.text[self.at]) != "]":
            if sign == "#":
                self.at += 1
                self._expression()
                typed += "\N{OBJECT REPLACEMENT CHARACTER}"
            elif sign == "[":
                self._group()
            else:
                typed += sign
                self.at += 1
        self.at += 1
        self.typed.append(typed)

    def _expression(self) -> None:
        """What follows a # in markup: blocks; or a name, a group or both, with further ones behind."""
        if _BLOCKS.match(self.text, self.at):
            self._block()
            while found := _ELSE.match(self.text, self.at):
                self.at = found.end()
                self._block() if found[1] else self._group()
        elif found := _CONTEXT.match(self.text, self.at):
            self.at = found.end()
            self._expression()
        else:
            while found := _NAME.match(self.text, self.at):
                self.at = found.end()
                while self.text[self.at] in _CLOSING:
                    self._group()
            self.at += self.text[self.at] == ";"

    def _block(self) -> None:
        """A condition, and the group behind it, which stands after a blank."""
        while not _BODY.match(self.text, self.at):
            self._code_token(self.text[self.at])
        self._group()


def calls(text: str, name: str) -> Iterator[tuple[str, set[str]]]:
    """Yield of each call of a function its first argument, a string, and the names of its further ones."""
    for found in re.finditer(rf'\b{name}\("([^"]*)"', text):
        inside = Source(text, found.end())
        names, start = set(), inside.at
        while text[inside.at] != ")":
            before = inside.at
            inside._code_token(text[inside.at])
            if inside.at == before + 1 and text[before] == ",":
                start = inside.at
            if named := re.fullmatch(r"\s*([\w-]+):", text[start : inside.at]):
                names.add(named[1])
        yield found[1], names
