"""`dataclass`, as in the standard library, that makes frozen classes without compiling code for each.

The standard decorator writes six methods for every class as text and compiles them, which for two hundred classes is a
fifth of the time the program takes to start. Here the classes share these methods. Whatever is not plainly frozen is
left to the standard library.
"""

from __future__ import annotations

import dataclasses
import reprlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen: bool = False, eq: bool = True, order: bool = False) -> Any:
        """As `dataclasses.dataclass` with the same arguments; what it decorates behaves the same."""
        if not frozen or order:
            return dataclasses.dataclass(frozen=frozen, eq=eq, order=order)
        return lambda cls: _frozen(cls, eq)


def _frozen(cls: Any, eq: bool) -> Any:
    cls = dataclasses.dataclass(init=False, repr=False, eq=False)(cls)
    members = dataclasses.fields(cls)
    unusual = [each.name for each in members if not (each.init and each.repr and each.compare) or each.kw_only]
    if unusual:
        raise TypeError(f"{cls.__qualname__}: shared methods know no options of the field {unusual[0]}")
    cls.__record_defaults__ = {each.name: each.default for each in members if each.default is not dataclasses.MISSING}
    cls.__record_factories__ = {each.name: each.default_factory for each in members
                                if each.default_factory is not dataclasses.MISSING}
    cls.__init__ = _init_and_check if hasattr(cls, "__post_init__") else _init
    shared: list[Any] = [_repr, _set, _delete, *((_equal, _hash) if eq else ())]
    for method in shared:
        if method.__name__ not in cls.__dict__ or cls.__dict__[method.__name__] is None:
            setattr(cls, method.__name__, method)
    return cls


def _init(self: Any, *values: Any, **named: Any) -> None:
    names, own = self.__match_args__, self.__dict__
    if not named and len(values) == len(names):
        own.update(zip(names, values, strict=True))
        return
    if not values and named.keys() == self.__dataclass_fields__.keys():
        own.update(named)
        return
    own.update(self.__record_defaults__)
    own.update(zip(names, values, strict=False))
    own.update(named)
    for name, make in self.__record_factories__.items():
        if name not in own:
            own[name] = make()
    if (own.keys() != self.__dataclass_fields__.keys() or len(values) > len(names)
            or (values and not named.keys().isdisjoint(names[:len(values)]))):
        raise TypeError(f"{type(self).__qualname__} takes each of {', '.join(names)} once, those without a default at "
                        f"least; it was given {len(values)} values and {', '.join(named) or 'none by name'}")


def _init_and_check(self: Any, *values: Any, **named: Any) -> None:
    _init(self, *values, **named)
    self.__post_init__()


def _values(record: Any) -> tuple[Any, ...]:
    return tuple(getattr(record, name) for name in record.__match_args__)


@reprlib.recursive_repr()
def _repr(self: Any) -> str:
    inside = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__match_args__)
    return f"{type(self).__qualname__}({inside})"


def _equal(self: Any, other: object) -> Any:
    return _values(self) == _values(other) if other.__class__ is self.__class__ else NotImplemented


def _hash(self: Any) -> int:
    return hash(_values(self))


def _refuse(self: Any, name: str) -> None:
    """Raises FrozenInstanceError, except for what an undecorated class below adds of its own."""
    if name in self.__dataclass_fields__ or "__dataclass_params__" in type(self).__dict__:
        raise dataclasses.FrozenInstanceError(f"cannot change field {name!r}")


def _set(self: Any, name: str, value: object) -> None:
    _refuse(self, name)
    object.__setattr__(self, name, value)


def _delete(self: Any, name: str) -> None:
    _refuse(self, name)
    object.__delattr__(self, name)


for _method, _name in ((_init, "__init__"), (_init_and_check, "__init__"), (_repr, "__repr__"), (_equal, "__eq__"),
                       (_hash, "__hash__"), (_set, "__setattr__"), (_delete, "__delattr__")):
    _method.__name__ = _name
