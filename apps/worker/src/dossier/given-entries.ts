/** Which entries a dossier gives whole; of the others it gives the leaf hash alone. */
import { LOG_EPOCH } from '#libs/ledger';

/** Entries that tell where things lie or are taken: no business of whoever a dossier is handed to. */
const OF_PLACES = ['site.', 'crate.', 'movement.'];

/**
 * The keeper's dossier gives every entry. Handed out are those about the place, what lies in it and
 * the windows it is part of; not what tells where the building stands, or where its panels lie.
 *
 * @param subject full mark that the dossier is about
 */
export function isGivenTo(
  entry: { readonly type: string; readonly subject: string | null },
  { isKeepers, subject }: { readonly isKeepers: boolean; readonly subject: string },
): boolean {
  const { type } = entry;
  // what a log tells of its keys and of what was lost is needed to check it
  if (isKeepers || type.startsWith('key.') || type === LOG_EPOCH) return true;
  if (entry.subject === null || OF_PLACES.some((kind) => type.startsWith(kind))) return false;
  return (
    isWithin(entry.subject, subject) ||
    (type.startsWith('window.') && isWithin(subject, entry.subject))
  );
}

export function isWithin(mark: string, place: string): boolean {
  return mark === place || mark.startsWith(`${place}.`);
}
