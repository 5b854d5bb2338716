"""The starting figures of a kind of repair, before any own unit, by type, fault and repair."""

import numpy as np

from pricing.basis import assumed
from pricing.basis.own_rows import assumed_faults
from pricing.basis.settings import Settings
from pricing.basis.words import family_of
from pricing.formulas import bench_sums, repairs_needed


class Starts:
    """Starting figures of a cell: fix, parts, bench hours, share with no part."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.table = assumed_faults(settings)
        self.memory: dict[tuple[str, str, str], tuple[float, float, float, float]] = {}

    def of(self, type_name: str, fault: str, repair: str) -> tuple[float, float, float, float]:
        key = (type_name, fault, repair)
        if key not in self.memory:
            family = family_of(type_name, self.settings)
            row = (
                self.blank(type_name, family)
                if not fault
                else assumed.fault_row(fault, type_name, family, self.table)[0]
            )
            fix, parts = repairs_needed.ranked(repair, row.fix, row.parts)
            self.memory[key] = (fix, parts, row.bench_h, bench_sums.usual_zero_share(row.parts_low))
        return self.memory[key]

    def blank(self, type_name: str, family: str) -> assumed.AssumedFault:
        """A record that writes no fault: the mean over the faults this kind can have."""
        kinds = assumed.fault_families(type_name, family)
        narrow = (row for row in self.table if row.family in kinds and row.family != "any")
        rows = [*narrow] or [self.table[-2]]
        fix, parts, high, hours = (
            float(value)
            for value in np.mean(
                [[row.fix, row.parts, row.parts_high, row.bench_h] for row in rows], axis=0
            )
        )
        return assumed.AssumedFault("any", "", "", fix, parts, 0.0, high, hours)
