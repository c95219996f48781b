"""The ids of the planner's faults are part of the interface: they never change."""

from tendline.plan import faults


def test_the_ids_are_what_they_always_were() -> None:
    assert {
        faults.MISSING_PLACE.id: "PLAN-101",
        faults.TABLE.id: "PLAN-102",
        faults.NO_DRIVE.id: "PLAN-103",
        faults.NO_WALK.id: "PLAN-104",
        faults.NO_WINDOW.id: "PLAN-105",
        faults.FIGURE.id: "PLAN-106",
        faults.NAME_TWICE.id: "PLAN-107",
        faults.NOTHING.id: "PLAN-108",
        faults.BUDGET.id: "PLAN-109",
        faults.HOURS.id: "PLAN-110",
    } == {f"PLAN-{number}": f"PLAN-{number}" for number in range(101, 111)}
