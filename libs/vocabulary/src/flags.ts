/** What can be out of order, and how it is told. Recording is never refused for it. */

export const FLAG_KINDS = {
  'done-before-consent': {
    label: 'done before consent',
    sentence: '{operation} was recorded for {when}; no consent covered it on that day.',
  },
  'consent-expired': {
    label: 'consent had run out',
    sentence: '{operation} was recorded for {when}; the consent had run out on {expired}.',
  },
  'consent-condition-open': {
    label: 'condition of the consent open',
    sentence: 'The consent of {given} asks for “{condition}”, and nobody has said that it was met.',
  },
  departure: {
    label: 'departure from what was consented',
    sentence: '{operation}: {differs}.',
  },
  'reason-missing': {
    label: 'reason not stated',
    sentence: '{operation} needs a stated reason, and none was given.',
  },
  'material-expired': {
    label: 'material past its date',
    sentence: '{material}, batch {batch}, was good until {expires}; it was used on {when}.',
  },
  'glass-out-of-stock': {
    label: 'glass not in stock',
    sentence: '{glass} was chosen for {pieces}; by the register {left} of it are there.',
  },
  'piece-missing': {
    label: 'piece missing',
    sentence: '{piece} is not accounted for: {where}.',
  },
  'broken-in-transit': {
    label: 'broken on the way',
    sentence: '{what} broke between {from} and {to}.',
  },
  'condition-differs': {
    label: 'condition differs on arrival',
    sentence: 'It left as {left} and arrived as {arrived}.',
  },
  'no-handover': {
    label: 'received without a hand-over',
    sentence: '{by} received it; nobody signed for giving it away.',
  },
  'moved-in-place': {
    label: 'moved while it stood in its opening',
    sentence: 'It was moved, and nobody had said that it was taken out of its opening.',
  },
  'out-of-sequence': {
    label: 'out of sequence',
    sentence: 'It was {act} while {others}.',
  },
  'removal-unstated': {
    label: 'taken out without saying how',
    sentence: 'It was taken out, and nobody said {what}.',
  },
  'dismantled-undrawn': {
    label: 'taken apart before it was drawn',
    sentence: 'It was taken apart, and there is neither a rubbing nor a lead drawing of it.',
  },
  'list-open': {
    label: 'list closed with open items',
    sentence: 'The list of the rebuilt panel was closed without {what}.',
  },
  'does-not-fit': {
    label: 'larger than its opening',
    sentence: 'It measures {size}; the tight size of its opening is {tight}.',
  },
  'refixed-unsigned': {
    label: 'put back unsigned',
    sentence: 'It was put back, and nobody had signed the rebuilt panel.',
  },
  'refixed-before-cure': {
    label: 'put back before the cement had cured',
    sentence: 'It was put back on {when}; the cement was to cure until {until}.',
  },
} as const satisfies Record<string, FlagWord>;

export interface FlagWord {
  readonly label: string;
  /** `{name}` is filled in with the value of that name */
  readonly sentence: string;
}

export type FlagKind = keyof typeof FLAG_KINDS;

/** The kind's sentence with its values; a value that nobody gave is told as not given. */
export function flagSentence(
  kind: FlagKind,
  values: Readonly<Record<string, string | number>>,
): string {
  return FLAG_KINDS[kind].sentence.replace(/\{(\w+)\}/g, (_, name: string) =>
    String(values[name] ?? 'not given'),
  );
}
