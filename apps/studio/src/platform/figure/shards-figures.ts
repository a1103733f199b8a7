/** Numbers of a broken piece's shards. */
import { say } from '../language/say.js';
import type { Explanation } from './explanation.js';
import { sources } from './sources.js';

export const shardsFigures = {
  'shards-missing': {
    what: say('Glass of the piece that no shard covers.'),
    how: say(
      'The glass as cut less the shards as they lie; joints count as covered, and slivers narrower than 2.4 mm and parts under 20 mm² are left out.',
    ),
    source: sources.plane,
    off: say('Chipped edges make it a little larger; the drawing’s own error moves its rim.'),
  },
  'shards-joints': {
    what: say('Length along which shards lie edge to edge.'),
    how: say('The line midway between two edges that face each other within 1.2 mm, added up.'),
    source: sources.plane,
    off: say(
      'About 1 mm a joint on generated shards with exact truth; not measured on real glass.',
    ),
  },
  'shards-evidence': {
    what: say('How much the edges of a shard speak for a place.'),
    how: say(
      'How closely the two edges follow one another, against how crooked they are, and whether paint goes on across; less what lies over one another. In natural units of likelihood.',
    ),
    source: sources.own,
    off: say('A single joint under 15 proves nothing; only the whole does.'),
  },
} as const satisfies Readonly<Record<string, Explanation>>;
