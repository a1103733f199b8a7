/**
 * Entries stay as they were written; projections see the newest shape only. A payload that changes
 * its shape says a new `v`, and gets a step here from the version before.
 */
import type { Entry } from '#libs/ledger';
import { INTERVENTION_STEPS } from './interventions.js';
import { PERSON_STEPS, RUBBING_STEPS, TEXT_NAME_STEPS } from './names.js';
import { TEST_STEPS } from './tests.js';
import type { Payload, Steps } from './upcaster.js';

/** A type that is not here has had one version so far. */
export const UPCASTERS: Readonly<Record<string, Steps>> = {
  'person.start': PERSON_STEPS,
  'person.add': PERSON_STEPS,
  'media.attach': TEXT_NAME_STEPS,
  'media.describe': TEXT_NAME_STEPS,
  'intervention.record': INTERVENTION_STEPS,
  'rubbing.record': RUBBING_STEPS,
  'test.record': TEST_STEPS,
};

/** Version that this program writes for a type of entry. */
export function newestVersion(type: string): number {
  return 1 + (UPCASTERS[type]?.length ?? 0);
}

/**
 * The payload of an entry in the newest version of its type.
 *
 * @throws Error when a newer program wrote it
 */
export function newestPayload({ type, seq, log, payload }: Entry): Payload {
  const written = payload as unknown as Payload;
  const version = written['v'] ?? 1;
  const newest = newestVersion(type);
  if (
    typeof version !== 'number' ||
    !Number.isInteger(version) ||
    version < 1 ||
    version > newest
  ) {
    throw new Error(
      `entry ${seq} of ${log} is a ${type} of version ${JSON.stringify(version)}; this program reads versions up to ${newest}. Use the version that wrote it, or a newer one.`,
    );
  }
  const steps = (UPCASTERS[type] ?? []).slice(version - 1);
  const raised = steps.reduce((older, step) => step(older), written);
  return newest === 1 ? raised : { ...raised, v: newest };
}
