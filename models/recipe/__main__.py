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
    speak.add_argument("part", choices=["train-synthetic", "dev-synthetic", "test-synthetic"])
    train = stages.add_parser("train", help="train the net (on the GPU if there is one)")
    train.add_argument("--out", type=Path, required=True, help="folder of the checkpoints")
    train.add_argument("--steps", type=int, default=11_500)
    train.add_argument("--frames", type=int, default=24_000, help="output frames in a batch")
    train.add_argument("--seconds-at-most", type=float, default=float("inf"))
    train.add_argument("--tiny", action="store_true", help="a small net, for a trial")
    for stage in (human, plan, speak, train):
        stage.add_argument("--parts", type=Path, required=True, help="folder of the parts")
    for stage in (human, speak):
        stage.add_argument("--processes", type=int, default=1)

    options = parser.parse_args()
    if options.stage.startswith(("gather", "plan", "speak")):
        from models.recipe import gather

        if options.stage == "gather-human":
            print(gather.gather_human(options.data, options.parts, options.limit, options.processes))
        elif options.stage == "plan-synthetic":
            print(gather.plan_synthetic(options.parts, gather.Amount().scaled(options.amount), options.seed))
        else:
            print(gather.speak(options.parts, options.part, options.processes))
    elif options.stage == "train":
        from models.recipe import net
        from models.recipe import train as training
        from models.recipe.lexicon import training_words

        wanted = training.Plan(options.steps, options.frames, seconds_at_most=options.seconds_at_most)
        size = net.Size(64, 96, 32, 3, 64) if options.tiny else None
        print(training.train(options.parts, training_words(), options.out, wanted, size))


if __name__ == "__main__":
    main()
