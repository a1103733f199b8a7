import { Problem } from '#libs/problem';

/** What the server tells the program that started it. */
export type LauncherMessage =
  | {
      kind: 'ready';
      url: string;
      phones: {
        origin: string;
        trustPage: string | null;
        authorityFingerprint: string | null;
      } | null;
    }
  | { kind: 'switch-home'; to: 'demo' | 'archive' };

export function tellLauncher(message: LauncherMessage): boolean {
  return process.send?.(message) ?? false;
}

/** @throws {Problem} `launcher-missing` when the server was not started by one */
export function askLauncher(message: LauncherMessage): void {
  if (process.send === undefined) {
    throw new Problem(
      'launcher-missing',
      'This server was started by itself. Stop it and run npm start -- --demo.',
    );
  }
  tellLauncher(message);
}
