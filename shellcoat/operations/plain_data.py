"""Answers as plain data for scripts: ids and times as text, numbers in SI."""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass
from datetime import datetime
from enum import Enum
from typing import Any
from uuid import UUID


def plain(value: Any) -> Any:
    """Turn an answer or a record into what JSON can hold, field by field."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    return _leaf(value)


def _leaf(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, float) and not math.isfinite(value):
        return None  # JSON knows no infinity
    return value
