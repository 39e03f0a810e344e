"""What holds for a whole world: its classes and which facts settle a family."""

import engines
from draw import Draw


class World:
    """Engine classes with the facts that tell them apart."""

    def __init__(self, classes):
        self.classes = classes
        bearers = {}
        for engine in classes:
            for model in engine.models:
                for code in ([model.code] if model.code else []) + [code for _, code in model.named]:
                    bearers.setdefault(code, []).append(engine.index)
        self.settling_codes = {code for code, where in bearers.items() if len(set(where)) == 1}
        self.settling_volumes = {(engine.index, model.cc) for engine in classes for model in engine.models
                                 if self.volume_settles(engine, model)}
        self.neighbours = [self.mistaken_for(engine) for engine in classes]

    def volume_settles(self, engine, model):
        """Whether a displacement alone names the class: unique, or in the family where that is the custom."""
        if engine.family == "industrial":
            return True
        return all(other is engine or abs(rival.cc - model.cc) > 0.02 * model.cc
                   for other in self.classes for rival in other.models)

    def mistaken_for(self, engine):
        """Classes of near size that a careless seller takes for this one."""
        size = engine.models[0].cc
        near = [other.index for other in self.classes
                if other is not engine and size / 2.5 < other.models[0].cc < size * 2.5]
        return near or [other.index for other in self.classes if other is not engine]


def fixed_world():
    """The world of the demo scenario."""
    return World(engines.fixed_classes())


def draw_for(seed, name):
    """One supplier's own stream of draws."""
    return Draw(f"{seed}/supplier/{name}")
