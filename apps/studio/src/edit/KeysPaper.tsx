import { KeysTable } from '../platform/KeysTable.js';
import { say } from '../platform/language/say.js';

const keys: readonly (readonly [string, string])[] = [
  [say(', and .'), say('lead before, lead after')],
  ['L', say('from a lead to its ends and back')],
  ['P', say('to the paper about what is chosen or drawn; Esc leads back')],
  [say('arrows'), say('move what is chosen by 0.1 mm, with Shift by 1 mm; bend it while V is on')],
  [
    say('arrows, Enter'),
    say('drawing, cutting, choosing many: aim, with Shift finely, and tap there'),
  ],
  [say('Enter, arrows, Enter'), say('choosing many: a box from one corner to the other')],
  [say('Shift + tap or drag'), say('choose more, or all in a box')],
  [say('Alt while dragging'), say('no snapping')],
  ['Esc', say('drop it, let go of what is chosen')],
];

/** The keys that have no button of their own, and the switch for all single keys. */
export function KeysPaper({ on, onSwitch }: { on: boolean; onSwitch: (on: boolean) => void }) {
  return <KeysTable keys={keys} on={on} onSwitch={onSwitch} />;
}
