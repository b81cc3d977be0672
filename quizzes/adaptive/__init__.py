"""The steering: how strong a student is, what to ask next, what to tell the teacher.

Pure numpy, no Django, no database: values in, values out, deterministic float64. From the ground up:

    errors.py      what is refused
    structure.py   `SkillMap`: which skills there are and the topic of each
    parameters.py  `Parameters`: every number of the model, with its meaning
    step.py        the logistic link and the one-answer step (Gauss-Hermite), on numbers or arrays
    items.py       `Item`, `Items`: difficulties of skill x level (x kind of setup), frozen
    state.py       `Strength`: what is known of one student; prior, bytes, aligning to a new skill map
    update.py      `Observation`, `evidence`, `update`, `move_to_day`, `replay`: what changes a strength
    layout.py      which items stand for which topic, as arrays
    choice.py      `Candidate`, `choose`: what to ask next and why; choice_run.py: the setup and plan of a run
    plan.py        `review_plan`: what to review on which day up to an exam
    report.py      `topic_chances`, `skill_chances`, `weak_topics`: strengths with their intervals
    class_effect.py  `class_effect`: what a class has in common beyond the prior
    class_view.py  `class_view`: many students pooled; class_skills.py: the same for each skill
    batch.py       the steps of update.py for many students at once; history.py: stored answers as arrays
    fitting.py     items and parameters fitted to a history; reliability.py: expected against observed
    calibrate.py   `calibrate`: new items and parameters from all answers, or why not
    simulate/      simulated students whose true strengths are known, and the peers beside ours

A strength never depends on other people's answers: items change in `calibrate` only, and what a
class has in common is laid over its students' strengths when the class is read, never stored in one.
How well all this works, and what was tried: NOTES.md.
"""
