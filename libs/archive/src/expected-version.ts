import { Problem } from '#libs/problem';

/** @throws {Problem} `version-required` 428, `stale-version` 412 */
export function expectVersion(ifMatch: string | undefined, current: number | bigint): void {
  const currentVersion = Number(current);
  if (ifMatch === undefined) {
    throw new Problem(
      'version-required',
      'Send the version that you read as If-Match, so that nobody’s change is lost.',
      { field: 'If-Match', currentVersion },
    );
  }
  if (ifMatch !== String(currentVersion)) {
    throw new Problem(
      'stale-version',
      'It was changed since you read it. Read it again, look at both, and send the revision anew.',
      { field: 'If-Match', currentVersion },
    );
  }
}
