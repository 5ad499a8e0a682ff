"""Records made at random, every kind, within what the records themselves allow."""

from __future__ import annotations

from datetime import UTC, time

from hypothesis import strategies as st

from shellcoat.shop import (
    AirAtDip,
    AirLimits,
    AirMovement,
    AirReading,
    AlertHabits,
    AlertMark,
    AlertStep,
    Band,
    Broker,
    CaliperReading,
    Coat,
    CoatKind,
    CoatStep,
    Decision,
    Defect,
    DefectKind,
    DipSequence,
    DryCheck,
    DryFinding,
    InfraredReading,
    LookAnswer,
    MeltPlan,
    Outcome,
    Photo,
    PlateTest,
    PourResult,
    ReadingBatch,
    Review,
    ReviewAnswer,
    ReviewQuestion,
    RheologyTest,
    Room,
    Shell,
    ShellState,
    Shop,
    StuccoGrain,
    WallPlace,
    Weighing,
    Withdrawal,
)
from shellcoat.shop.checks import EARLIEST, LATEST
from shellcoat.shop.photo import MEDIA_TYPES

LETTERS = st.characters(exclude_categories=("Cs", "Cc"))
texts = st.text(LETTERS | st.sampled_from("\n\t"), max_size=30)
names = texts.filter(lambda text: bool(text.strip()))
ids = st.uuids()
times = st.datetimes(
    EARLIEST.replace(tzinfo=None), LATEST.replace(tzinfo=None), timezones=st.just(UTC)
)
temps = st.floats(-30, 70)
fractions = st.floats(0, 1)


def bands(low: float, high: float) -> st.SearchStrategy[Band]:
    """Three rising values."""
    rising = st.lists(st.floats(low, high), min_size=3, max_size=3).map(sorted)
    return rising.map(lambda values: Band(*values))


limits = st.builds(
    AirLimits,
    temp_low_c=st.none() | st.floats(-20, 60),
    temp_high_c=st.none() | st.floats(-20, 60),
    rh_low=st.none() | fractions,
    rh_high=st.none() | fractions,
    swing_k=st.none() | st.floats(0, 50),
)
steps = st.builds(
    CoatStep,
    kind=st.sampled_from(CoatKind),
    slurry=names,
    stucco=texts,
    thickness_m=bands(1e-5, 0.02),
    water_kg_m2=bands(1e-3, 2.0),
    air=limits,
    watch=texts,
    source=texts,
)
sequences = st.builds(
    DipSequence,
    id=ids,
    name=names,
    steps=st.lists(steps, min_size=1, max_size=3).map(tuple),
    target_thickness_m=st.floats(1e-3, 0.1),
    final_hold_s=st.floats(0, 60 * 86400),
    description=texts,
    source=texts,
    retired=st.booleans(),
)
shops = st.builds(
    Shop,
    id=ids,
    name=names,
    zone=st.sampled_from(["UTC", "Europe/Madrid", "America/Bogota"]),
    altitude_m=st.floats(-430, 5000),
    dry_share=st.floats(0.01, 0.5),
    safe_quantile=st.floats(0.5, 0.99),
    sound=st.booleans(),
    units=st.dictionaries(names, texts, max_size=3),
    alerts=st.builds(
        AlertHabits,
        repeat_min=st.integers(0, 240),
        quiet_from=st.times(max_value=time(11, 59)),
        quiet_until=st.times(min_value=time(12)),
        reading_limit_s=st.floats(600.0, 86400.0),
        broker=st.none() | st.builds(Broker, host=names, topic=st.just("a/b"), user=texts),
    ),
)
rooms = st.builds(Room, id=ids, name=names, movement=st.sampled_from(AirMovement), note=texts)
shells = st.builds(
    Shell,
    id=ids,
    name=names,
    label=names,
    sequence=sequences,
    room_id=ids,
    started_at=times,
    rack_place=texts,
    metal=texts,
    drying_length_m=st.floats(0.005, 10.0),
    area_m2=st.none() | st.floats(1e-4, 100.0),
    wax_mass_kg=st.none() | st.floats(1e-3, 2000.0),
    state=st.sampled_from(ShellState),
    note=texts,
)
coats = st.builds(
    Coat,
    id=ids,
    shell_id=ids,
    step=steps,
    dipped_at=times,
    utc_offset_min=st.integers(-840, 840),
    room_id=ids,
    movement=st.sampled_from(AirMovement),
    tank=texts,
    air=st.none() | st.builds(AirAtDip, temp_c=temps, rh=fractions, read_at=times),
    note=texts,
    warnings=st.lists(texts, max_size=3).map(tuple),
    reason=texts,
)
readings = st.builds(
    AirReading, id=ids, room_id=ids, read_at=times, temp_c=temps, rh=fractions, note=texts
)
batches = st.builds(
    ReadingBatch,
    id=ids,
    room_id=ids,
    import_id=ids,
    source_name=texts,
    count=st.integers(1, 10_000_000),
    first_at=times,
    last_at=times,
    digest=st.text("0123456789abcdef", min_size=64, max_size=64),
)
marks = st.builds(
    AlertMark,
    id=ids,
    about=ids,
    step=st.sampled_from((AlertStep.TOLD, AlertStep.SEEN)),
    due_at=times,
    at=times,
) | st.lists(times, min_size=2, max_size=2, unique=True).map(sorted).flatmap(
    lambda span: st.builds(
        AlertMark,
        id=ids,
        about=ids,
        step=st.just(AlertStep.PUT_OFF),
        due_at=times,
        at=st.just(span[0]),
        until=st.just(span[1]),
    )
)
withdrawals = st.builds(Withdrawal, id=ids)


_made = {"id": ids, "at": times, "note": texts, "left_out": texts}
_found = _made | {"shell_id": ids}
shell_checks = st.one_of(
    st.builds(DryCheck, **_found, finding=st.sampled_from(DryFinding), core_id=st.none() | ids),
    st.builds(InfraredReading, **_found, surface_temp_c=temps, air_temp_c=st.none() | temps),
    st.builds(Weighing, **_found, mass_kg=st.floats(1e-3, 5000.0)),
    st.builds(
        CaliperReading,
        **_found,
        place=st.sampled_from(WallPlace),
        thickness_m=st.floats(1e-4, 0.1),
        where=texts,
    ),
)
_densities = st.floats(1000.0, 5000.0)
_shares = st.none() | st.floats(0.02, 0.8)
slurry_tests = st.one_of(
    st.builds(
        PlateTest,
        **_made,
        slurry=names,
        area_m2=st.floats(1e-4, 4.0),
        mass_kg=st.floats(1e-5, 20.0),
        density_kg_m3=st.none() | _densities,
        water_share=_shares,
    ),
    st.builds(
        RheologyTest,
        **_made,
        slurry=names,
        viscosity_pa_s=st.floats(1e-3, 100.0),
        density_kg_m3=_densities,
        yield_stress_pa=st.floats(0.0, 500.0),
        speed_m_s=st.floats(1e-3, 1.0),
        drain_time_s=st.floats(1.0, 3600.0),
        water_share=_shares,
    ),
    st.builds(
        StuccoGrain,
        id=ids,
        note=texts,
        left_out=texts,
        stucco=names,
        finest_m=st.floats(1e-5, 1e-3),
        coarsest_m=st.floats(1e-3, 0.02),
        grain_density_kg_m3=st.none() | st.floats(500.0, 8000.0),
    ),
)

_reviewed = {"id": ids, "shell_id": ids, "at": times, "note": texts}
review_records = st.one_of(
    st.builds(
        Defect,
        **_reviewed,
        kind=st.sampled_from(DefectKind),
        where=names,
        mended_at=st.none() | st.just(LATEST),
    ),
    st.builds(
        ReviewAnswer,
        **_reviewed,
        question=st.sampled_from(ReviewQuestion),
        answer=st.sampled_from(LookAnswer),
        by=names,
    ),
    st.builds(
        MeltPlan,
        id=ids,
        shell_id=ids,
        at=times,
        extra_share=st.floats(0.0, 5.0),
        capacity_kg=st.none() | st.floats(0.01, 50_000.0),
    ),
    st.builds(
        Review,
        **_reviewed,
        decision=st.sampled_from([one for one in Decision if one is not Decision.WAIT_UNTIL]),
        name=names,
        evidence_at=times,
        head=names,
        book_entries=st.integers(1, 1_000_000),
        shell_entries=st.integers(1, 1_000_000),
        findings=texts,
    ),
)

_digests = st.text("0123456789abcdef", min_size=64, max_size=64)
photos = st.builds(
    Photo,
    id=ids,
    shell_id=ids,
    taken_at=times,
    width=st.integers(1, 4096),
    height=st.integers(1, 4096),
    sha256=_digests,
    thumbnail_sha256=_digests,
    media_type=st.sampled_from(MEDIA_TYPES),
    about=st.none() | ids,
    caption=texts,
)
outcomes = st.builds(
    Outcome,
    id=ids,
    shell_id=ids,
    poured_at=times,
    result=st.sampled_from(PourResult),
    where=texts,
    metal_temp_c=st.none() | st.floats(100.0, 2000.0),
    shell_temp_c=st.none() | st.floats(-30.0, 1400.0),
    metal_mass_kg=st.none() | st.floats(1e-3, 5000.0),
    note=texts,
    photo_ids=st.lists(ids, max_size=3).map(tuple),
)

records = st.one_of(
    shops,
    rooms,
    sequences,
    shells,
    coats,
    shell_checks,
    slurry_tests,
    review_records,
    photos,
    outcomes,
    readings,
    batches,
    marks,
    withdrawals,
)
first_records = st.one_of(shops, rooms, sequences, shells, slurry_tests, readings, marks)
