"""Nouns as JSON documents and back. Reading checks every type, so a damaged document is named, not trusted."""

from fractions import Fraction
from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, PlainSerializer, TypeAdapter

T = TypeVar("T")


def exact_text(value: Fraction) -> int | str:
    """A fraction as documents show it: a whole number, or "p/q"."""
    return value.numerator if value.denominator == 1 else f"{value.numerator}/{value.denominator}"


# A number that ranks: never rounded, 12 or "25/2" in documents.
Exact = Annotated[Fraction, BeforeValidator(Fraction), PlainSerializer(exact_text, return_type=int | str)]


_adapters: dict[Any, TypeAdapter[Any]] = {}  # building one is slow


def _adapter(kind: Any) -> TypeAdapter[Any]:
    if kind not in _adapters:
        _adapters[kind] = TypeAdapter(kind)
    return _adapters[kind]


def dump(noun: Any) -> Any:
    """A noun as plain JSON values; keys in the order of its fields."""
    return _adapter(type(noun)).dump_python(noun, mode="json", by_alias=True)


def load(kind: type[T], document: Any) -> T:
    """The noun that a document holds. pydantic.ValidationError when it holds something else."""
    noun: T = _adapter(kind).validate_python(document)
    return noun
