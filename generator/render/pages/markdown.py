"""Page templates to Markdown, and the refusal of a page that must not be published.

A page that shows a computed figure must also show the deferral notice, and every safety notice that applies to it. The
record is kept by the functions that show them, so neither is forgotten unnoticed.

Templates run in a sandbox, for `handbook changes` renders those of other revisions, whose writers nobody here knows.
"""

from __future__ import annotations

import traceback
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, TemplateError, TemplateSyntaxError, nodes
from jinja2.compiler import CodeGenerator, Frame
from jinja2.sandbox import ImmutableSandboxedEnvironment
from pydantic import BaseModel

from generator.assemble.pages import Page
from generator.errors import PageFault
from generator.model.content.words import Style
from generator.render.escape import finalize
from generator.render.pages.names import FILTERS, FUNCTIONS, Record
from generator.render.pages.template_cache import TemplateCache

MACROS = "_macros.md.j2"


# What a template raises that is at fault; a range too long and an endless inclusion among them.
_FAULTS = (
    TemplateError,
    PageFault,
    TypeError,
    ValueError,
    LookupError,
    AttributeError,
    ArithmeticError,
    RecursionError,
)


class _Escaped(CodeGenerator):
    """Compiles `{{ … }}` to what `finalize` makes of it, which is escaped already: to escape it again takes as long."""

    def _output_child_pre(self, _node: nodes.Expr, _frame: Frame, finalize: Any) -> None:
        self.write(f"({finalize.src or ''}")


class Sandbox(ImmutableSandboxedEnvironment):
    """Templates may read what the book holds. They reach no code but the filters and functions given to them."""

    code_generator_class = _Escaped

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self._judged: dict[tuple[type, str], bool] = {}
        self._fields: dict[tuple[type, str], bool] = {}

    def getattr(self, obj: Any, attribute: str) -> Any:
        """Return what a template reads of an object; a field of a record, which holds no method, at once."""
        field = (type(obj), attribute)
        if self._fields.get(field):
            return getattr(obj, attribute)
        value = super().getattr(obj, attribute)
        if field not in self._fields and self._judged.get(field):
            self._fields[field] = attribute in _fields_of(type(obj))
        return value

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """Refuse, besides what is private, the methods of the input models: some of them load files and objects.

        What may be read of an object follows from its type: each is judged once, for a page asks thousands of times.
        """
        if isinstance(obj, type):
            return self._judge(obj, obj, attr, value=value)
        kind = type(obj)
        safe = self._judged.get((kind, attr))
        if safe is None:
            safe = self._judged[kind, attr] = self._judge(kind, obj, attr, value=value)
        return safe

    def _judge(self, model: type, obj: Any, attr: str, *, value: Any) -> bool:
        inherited = issubclass(model, BaseModel) and hasattr(BaseModel, attr)
        return not inherited and super().is_safe_attribute(obj, attr, value)


def _fields_of(kind: type) -> frozenset[str]:
    fields = kind.model_fields if issubclass(kind, BaseModel) else getattr(kind, "__dataclass_fields__", ())
    return frozenset(fields)


def environment(folders: Path | tuple[Path, ...], kept_in: Path | None = None) -> Environment:
    """Return the environment of the templates in `folders`: an unknown name is a fault, every text is escaped.

    A template of an earlier folder stands for its namesake in a later one. `kept_in`: the root of the project that
    keeps the compiled templates for the next run; those of a folder that goes away are not kept.
    """
    found = Sandbox(
        loader=FileSystemLoader(folders),
        undefined=StrictUndefined,
        autoescape=True,
        finalize=finalize,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=TemplateCache(kept_in, "finalized") if kept_in else None,
    )
    found.filters |= FILTERS
    found.globals |= FUNCTIONS
    return found


def render_page(
    templates: Environment, page: Page, names: Mapping[str, Any], *, page_ids: frozenset[str], style: Style
) -> str:
    """Return a page's Markdown. PageFault, with the template's line, for a template at fault or an unfit page."""
    record = Record(page, page_ids, style)
    scope = {**names, "page": page, "record": record}
    if page.subject is not None:
        scope[page.kind] = page.subject
    try:
        record.macros = templates.get_template(MACROS).make_module(scope)
        shared = {name: macro for name, macro in vars(record.macros).items() if not name.startswith("_")}
        text = templates.get_template(page.template).render(scope | shared)
    except _FAULTS as error:
        raise PageFault(f"{_place(error, page, templates)}: {error}") from error
    _refuse_unfit(record, page)
    return text


def _refuse_unfit(record: Record, page: Page) -> None:
    if record.figures and not record.deferral:
        wrong = "the page shows a computed figure without the notice that local codes govern"
        raise PageFault(f"{page.template}: {page.id}: {wrong}; put {{{{ deferral() }}}} on it")
    missing = [notice for notice in page.notices if notice not in record.notices]
    if missing:
        wrong = f"the page lacks safety notices that apply to it: {', '.join(missing)}"
        raise PageFault(f"{page.template}: {page.id}: {wrong}; show each with {{{{ notice(…) }}}}")


def _place(error: Exception, page: Page, templates: Environment) -> str:
    """Return `content/pages/template:line` of the template code nearest to the error."""
    frames = [(frame.filename, frame.lineno) for frame in traceback.extract_tb(error.__traceback__)]
    if isinstance(error, TemplateSyntaxError):
        frames.append((error.filename or page.template, error.lineno))
    named = [(Path(file), line) for file, line in frames if file.endswith(".j2")]
    if not named:
        return page.template
    file, line = named[-1]
    root = Path(templates.loader.searchpath[-1]).parents[1] if isinstance(templates.loader, FileSystemLoader) else None
    return f"{file.relative_to(root).as_posix() if root and file.is_relative_to(root) else file.name}:{line}"
