"""The stages of the recipe as commands."""

from __future__ import annotations

import argparse
from pathlib import Path


def main() -> None:
    """Run one stage."""
    parser = argparse.ArgumentParser(prog="python -m models.recipe", description="Make the shipped acoustic model.")
    stages = parser.add_subparsers(dest="stage", required=True)

    human = stages.add_parser("gather-human", help="pack human recordings and noise, listed in DATA/manifest.tsv")
    human.add_argument("data", type=Path)
    human.add_argument("--limit", type=int, help="recordings of each set at most (for a trial)")
    plan = stages.add_parser("plan-synthetic", help="write down what the synthetic voices shall say")
    plan.add_argument("--amount", type=float, default=1.0, help="how much, 1 for the shipped model")
    plan.add_argument("--seed", type=int, default=1)
    speak = stages.add_parser("speak", help="make the synthetic speech of one part")
    speak.add_argument("part", help="such as train-synthetic, train-natural, dev-synthetic, test-synthetic")
    join = stages.add_parser(
        "join", help="put numbers by people behind phrases of synthetic voices, and digits in a row"
    )
    join.add_argument("--amount", type=int, default=6000)
    train = stages.add_parser("train", help="train the net (on the GPU if there is one)")
    train.add_argument("--out", type=Path, required=True, help="folder of the checkpoints")
    train.add_argument("--steps", type=int, default=11_500)
    train.add_argument("--frames", type=int, default=24_000, help="output frames in a batch")
    train.add_argument("--seconds-at-most", type=float, default=float("inf"))
    train.add_argument("--read-again", default="", help="shares of the steps after which parts are read again: 0.2,0.5")
    train.add_argument("--start", type=Path, help="a checkpoint or a model directory to go on from")
    train.add_argument("--rate", type=float, default=1e-3, help="the highest learning rate")
    train.add_argument("--feeders", type=int, default=0, help="processes that draw batches (4 to 7 where a GPU trains)")
    train.add_argument("--tiny", action="store_true", help="a small net, for a trial")
    model = stages.add_parser("model", help="export a checkpoint and build the graph: a whole model directory")
    model.add_argument("checkpoint", type=Path)
    model.add_argument("folder", type=Path, help="the model directory to write")
    model.add_argument("--bits", type=int, choices=[8, 16, 32], default=16)
    model.add_argument("--everyday", type=int, default=5000, help="common words besides our own")
    brands = stages.add_parser("leave-brands-out", help="take the names of brands out of a finished model directory")
    brands.add_argument("folder", type=Path, help="the model directory to mend")
    measure = stages.add_parser("measure", help="listen to held-out recordings in quiet and noise, print a table")
    measure.add_argument("model", type=Path)
    measure.add_argument("--split", choices=["dev", "test"], default="test")
    measure.add_argument("--snr", default="99,20,10,5,0", help="signal-to-noise ratios in dB; 99 is quiet")
    measure.add_argument("--most", type=int, default=1000, help="recordings of each test at most")
    measure.add_argument("--limit", type=float, help="one limit of confidence for all (without it: the model's own)")
    measure.add_argument("--only", default="", help='only tests whose names begin so, such as "people"')
    measure.add_argument("--rows", type=Path, help="file for what was heard, one line each")
    measure.add_argument("--processes", type=int, default=1)
    choose = stages.add_parser("choose", help="listen to dev with several costs in the graph, and compare")
    choose.add_argument("checkpoint", type=Path)
    choose.add_argument("work", type=Path, help="folder for the models and for what was heard")
    choose.add_argument(
        "--sets", default="0.5,-3,-0.75", help="word,unknown,unknown_phone of each set, parted by spaces"
    )
    choose.add_argument("--snr", default="99,10,5,0", help="signal-to-noise ratios in dB; 99 is quiet")
    choose.add_argument("--most", type=int, default=150, help="recordings of each test at most")
    choose.add_argument("--processes", type=int, default=1)
    limits = stages.add_parser("limits", help="choose on dev how surely each phrase must be heard by people who say it")
    limits.add_argument("model", type=Path)
    limits.add_argument("--most", type=int, default=250, help="other words of people at most")
    limits.add_argument("--state", default="", help="only tell how it hears in this state of a job, such as checking")
    limits.add_argument("--expected", default="yes,no,repeat", help="phrases that are expected in that state")
    limits.add_argument("--write", action="store_true", help="write near words, limits and checksums into the model")
    keywords = stages.add_parser("keywords", help="train the classifier of short words for the second opinion")
    keywords.add_argument("--out", type=Path, default=Path("models/keywords-en/keywords.npz"), help="the file to write")
    for stage in (human, plan, speak, join, train, model, measure, choose, limits, keywords):
        stage.add_argument("--parts", type=Path, required=True, help="folder of the parts")
    for stage in (human, speak, keywords):
        stage.add_argument("--processes", type=int, default=1)

    spell = stages.add_parser("respell", help="put words into a finished model, or take some out; its net stays")
    spell.add_argument("folder", type=Path, help="the model directory to change")
    spell.add_argument(
        "--add",
        action="append",
        default=[],
        help='a word and its phones: "minus M AY N AH S"; again for another way to say it',
    )
    spell.add_argument("--without", action="append", default=[], help="a word to take out")

    twins = stages.add_parser("twins", help="give each phrase of the assistant words of its own in a finished model")
    twins.add_argument("folder", type=Path, help="the model directory to change")

    weighing = stages.add_parser("weigh", help="let words that the net takes others for cost more in a finished model")
    weighing.add_argument("folder", type=Path, help="the model directory to change")

    mixing = stages.add_parser("mix", help="move a finished model's net part of the way to what was trained on from it")
    mixing.add_argument("folder", type=Path, help="the model directory to change")
    mixing.add_argument("towards", type=Path, help="a model directory with a net of the same form")
    mixing.add_argument("--share", type=float, default=0.5, help="how far, 0 to 1")

    options = parser.parse_args()
    if options.stage == "mix":
        from models.recipe.mixing import mix

        mix(options.folder, options.towards, options.share)
        return
    if options.stage == "respell":
        from models.recipe.respell import respell

        added: dict[str, list[list[str]]] = {}
        for word, *phones in (line.split() for line in options.add):
            added.setdefault(word, []).append(phones)
        respell(options.folder, added, options.without)
        return
    if options.stage == "weigh":
        from models.recipe.weighing import weigh

        weigh(options.folder)
        return
    if options.stage == "twins":
        from models.recipe.twins import add_twins, twins_wanted

        print(f"{add_twins(options.folder, twins_wanted())} twins")
        return
    if options.stage.startswith(("gather", "plan", "speak")):
        from models.recipe import gather

        if options.stage == "gather-human":
            print(gather.gather_human(options.data, options.parts, options.limit, options.processes))
        elif options.stage == "plan-synthetic":
            print(gather.plan_synthetic(options.parts, gather.Amount().scaled(options.amount), options.seed))
        else:
            print(gather.speak(options.parts, options.part, options.processes))
    elif options.stage == "join":
        from models.recipe.joining import join as joined

        print(f"{joined(options.parts, options.amount)} clips of {options.amount} numbers")
    elif options.stage == "keywords":
        from models.recipe.keywords import make_keywords

        print(f"{make_keywords(options.parts, options.out, options.processes)} sounds")
    elif options.stage == "train":
        from models.recipe import net
        from models.recipe import train as training
        from models.recipe.lexicon import training_words

        again = tuple(float(share) for share in options.read_again.split(",") if share)
        wanted = training.Plan(
            options.steps, options.frames, options.rate, seconds_at_most=options.seconds_at_most, read_again=again,
            feeders=options.feeders, start=options.start,
        )  # fmt: skip
        size = net.Size(64, 96, 32, 3, 64) if options.tiny else None
        print(training.train(options.parts, training_words(), options.out, wanted, size))
    elif options.stage == "model":
        from models.recipe.package import package

        package(options.checkpoint, options.parts, options.folder, options.bits, options.everyday)
    elif options.stage == "leave-brands-out":
        from models.recipe.brands import leave_brands_out

        print(f"{leave_brands_out(options.folder)} words left out")
    elif options.stage == "measure":
        from assistant.events import Thresholds
        from assistant.voice.listening.limits import read_limits
        from models.recipe import measure as measuring
        from models.recipe.people import NOT_THERE

        snrs = [int(value) for value in options.snr.split(",")]
        trials = measuring.collect(options.parts, options.split, snrs, options.most)
        trials = [trial for trial in trials if trial.test.startswith(options.only)]
        rows = measuring.listen(options.model, trials, options.processes)
        if options.rows:
            measuring.write_rows(rows, options.rows)
        one = options.limit
        limits = read_limits(options.model) if one is None else Thresholds(one, one, one)
        for line in measuring.table(rows, limits):
            print(" ".join(f"{name} {value}" for name, value in line.items() if value is not None))
        print(NOT_THERE)
        print(f"real-time factor {sum(row.spent_s for row in rows) / sum(row.speech_s for row in rows):.3f}")
    elif options.stage == "limits":
        from models.recipe.limits import choose_limits, tell_state

        if options.state:
            tell_state(options.model, options.parts, options.most, options.state, options.expected.split(","))
            return
        choose_limits(options.model, options.parts, options.most, write=options.write)
    elif options.stage == "choose":
        from models.recipe import choose as choosing
        from models.recipe.measure import collect

        snrs = [int(value) for value in options.snr.split(",")]
        trials = collect(options.parts, "dev", snrs, options.most)
        sets = choosing.sets_of(options.sets)
        choosing.choose(options.checkpoint, options.parts, options.work, sets, trials, options.processes)


if __name__ == "__main__":
    main()
