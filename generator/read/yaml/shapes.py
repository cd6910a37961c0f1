"""What the input types allow at a key path: the type there, the keys of a mapping there, whether it may be left out."""

from __future__ import annotations

import types
from typing import Annotated, Any, TypeGuard, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from generator.read.yaml.yaml_marks import Path


def shape_at(model: type[BaseModel], path: Path) -> Any:
    """Return the type annotation at `path`, or None where the model has no such place."""
    shape: Any = model
    for part in path:
        shape = _inside(shape, part)
    return shape


def keys_of(shape: Any) -> tuple[str, ...]:
    """Return the keys a mapping of this type may have; none for any other type."""
    bare = _bare(shape)
    return tuple(_fields(bare)) if _is_model(bare) else ()


def is_scalar(shape: Any) -> bool:
    """Return whether a text stands for a value of this type, rather than a list or a mapping."""
    bare = _bare(shape)
    return not _is_model(bare) and get_origin(bare) not in (tuple, dict)


def may_be_left_out(model: type[BaseModel], path: Path) -> bool:
    """Return whether the key at the end of `path` is optional."""
    parent = _bare(shape_at(model, path[:-1])) if path else None
    field = _fields(parent).get(str(path[-1])) if _is_model(parent) else None
    return field is not None and not field.is_required()


def _inside(shape: Any, part: str | int) -> Any:
    bare = _bare(shape)
    if _is_model(bare):
        field = _fields(bare).get(str(part))
        return _annotated(field) if field else None
    if get_origin(bare) is tuple and isinstance(part, int):
        return get_args(bare)[0]
    if get_origin(bare) is dict and isinstance(part, str):
        return get_args(bare)[1]
    return None


def _annotated(field: FieldInfo) -> Any:
    annotated: Any = field.annotation
    for metadata in field.metadata:
        annotated = Annotated[annotated, metadata]
    return annotated


def _fields(model: type[BaseModel]) -> dict[str, FieldInfo]:
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _is_model(shape: Any) -> TypeGuard[type[BaseModel]]:
    return isinstance(shape, type) and issubclass(shape, BaseModel)


def _bare(shape: Any) -> Any:
    """Return the type without its annotations and without `| None`."""
    while get_origin(shape) is Annotated:
        shape = get_args(shape)[0]
    if get_origin(shape) in (Union, types.UnionType):
        branches = [branch for branch in get_args(shape) if branch is not type(None)]
        return _bare(branches[0]) if len(branches) == 1 else shape
    return shape
