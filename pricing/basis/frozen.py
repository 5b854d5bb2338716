"""Frozen records that cost nothing to define: `@frozen` is `@dataclass(frozen=True)` without the
code that it writes for each class.

The standard decorator compiles six functions a class, .7 ms each time the program starts: with the
fifty-odd records on the way of one question that was 36 of its 62 ms of imports (measured). Here
all classes share one `__init__`, `__eq__`, `__repr__` and `__setattr__`. The fields are the
standard ones, so that `dataclasses.replace`, `fields` and `asdict` work, and type checkers see a
frozen dataclass.
"""

import dataclasses
from typing import Any, TypeVar, dataclass_transform

C = TypeVar("C")


@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def frozen(cls: type[C]) -> type[C]:
    """A frozen record of the annotated fields of a class without bases; defaults and
    `field(default_factory=…)` as in dataclasses.

    >>> @frozen
    ... class Unit:
    ...     type: str
    ...     age: float = 0.0
    >>> dataclasses.replace(Unit("wall oven"), age=6.0)
    Unit(type='wall oven', age=6.0)
    """
    fields: dict[str, dataclasses.Field[Any]] = {}
    annotations = getattr(cls, "__annotations__", {})  # a class without bases has only its own
    for name in annotations:
        given = cls.__dict__.get(name, dataclasses.MISSING)
        one = given if isinstance(given, dataclasses.Field) else dataclasses.field(default=given)
        one.name, one.type = name, annotations[name]
        one._field_type = dataclasses._FIELD  # type: ignore  # what dataclasses.fields() looks for
        fields[name] = one
        if one.default is not dataclasses.MISSING:
            setattr(cls, name, one.default)
        elif isinstance(given, dataclasses.Field):
            delattr(cls, name)
    shared = {
        "__dataclass_fields__": fields, "__init__": _init, "__repr__": _repr, "__eq__": _eq,
        "__hash__": _hash, "__setattr__": _refuse, "__delattr__": _refuse,
    }  # fmt: skip
    for name, value in (shared | {"__match_args__": tuple(fields)}).items():
        setattr(cls, name, value)
    return cls


def _init(self: Any, /, *args: Any, **named: Any) -> None:
    fields = type(self).__dataclass_fields__
    if len(args) > len(fields):
        raise TypeError(f"{type(self).__name__} takes {len(fields)} values, not {len(args)}")
    values = dict(zip(fields, args, strict=False))
    for name, value in named.items():
        if name not in fields or name in values:
            what = "two values for" if name in values else "no field"
            raise TypeError(f"{type(self).__name__} got {what} {name!r}")
        values[name] = value
    if len(values) < len(fields):
        for name, one in fields.items():
            if name not in values:
                if one.default is not dataclasses.MISSING:
                    values[name] = one.default
                elif one.default_factory is not dataclasses.MISSING:
                    values[name] = one.default_factory()
                else:
                    raise TypeError(f"{type(self).__name__} needs {name!r}")
    # In the order of the fields, however they were given: a model's file is written from vars()
    self.__dict__.update({name: values[name] for name in fields} if named else values)


def _repr(self: Any) -> str:
    kind = type(self)
    values = ", ".join(f"{name}={getattr(self, name)!r}" for name in kind.__dataclass_fields__)
    return f"{kind.__qualname__.rpartition('.')[2]}({values})"


def _eq(self: Any, other: Any) -> bool:
    if type(other) is not type(self):
        return False
    names: list[str] = list(type(self).__dataclass_fields__)
    return all(bool(getattr(self, name) == getattr(other, name)) for name in names)


def _hash(self: Any) -> int:
    return hash(tuple(getattr(self, name) for name in type(self).__dataclass_fields__))


def _refuse(self: Any, name: str, *value: Any) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot change field {name!r}")


def named(record: object, names: str) -> dict[str, Any]:
    """Some fields of a record under their names, or under ours: `ended=n_ended`."""
    pairs = [name.partition("=") for name in names.split()]
    return {ours: getattr(record, field or ours) for ours, _, field in pairs}
