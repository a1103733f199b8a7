/** Numbers of a bar in the wind. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const barsFigures = {
  'bar-deflection': {
    what: say('How far the bar bends in this wind, and one part in how many of its free length.'),
    how: say('An even load over its free lengths, the bar going on over the stone between.'),
    source: sources.beam,
    off: say(
      'An aid to judgement: rust, worn holes and the stiffness of glass are left out. A structural engineer decides.',
    ),
  },
  'bar-stress': {
    what: say('Stress in the farthest fibre of the bar.'),
    how: say('Greatest moment × distance of the farthest fibre / second moment of the section.'),
    source: sources.beam,
    off: say('Holds only while the metal springs back.'),
  },
  'bar-spans': {
    what: say('The lengths between stone and stone.'),
    how: say('From the drawing of the window: widths of the lights at the height of the bar.'),
    source: sources.plane,
    off: say('As good as the drawing of the window.'),
  },
  'bar-tributary': {
    what: say('The height of glass whose wind this bar takes.'),
    how: say('Half of the bay above and half of that below, as drawn.'),
    source: sources.practice,
    off: say('Panels that hang on their ties share it less evenly.'),
  },
  'bar-load': {
    what: say('Wind on each millimetre of the bar.'),
    how: say('Pressure of the wind × the height of glass that it holds.'),
    source: sources.beam,
    off: say('All of the wind is taken by this glazing, as if there were no other before it.'),
  },
  'bar-reaction': {
    what: say('What the bar presses on the stone that carries most.'),
    how: say('The greatest of the forces on its supports, from the same beam.'),
    source: sources.beam,
    off: say('Says nothing of whether the stone can carry it.'),
  },
  'bar-growth': {
    what: say('How much the bar grows when it is warmer.'),
    how: say('Free lengths × warming × expansion of the metal.'),
    source: sources.beam,
    off: say('The warming is what you typed.'),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
