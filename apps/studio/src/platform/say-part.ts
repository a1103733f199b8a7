import { say } from './language/say.js';

/** A lead or a joint in words; one that was drawn just before has no number yet. */
export function sayPart(what: 'lead' | 'joint', id: string): string {
  if (id.includes('+')) return what === 'lead' ? say('a new lead') : say('a new joint');
  return what === 'lead' ? say('lead {id}', { id }) : say('joint {id}', { id });
}
