/** A disk of its own for a home, small enough to be filled: a tmpfs, which only root may mount. */
import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export interface SmallDisk {
  readonly path: string;
  /** Writes until nothing more goes in. */
  fill(): void;
  /** Takes away what `fill` wrote. */
  free(): void;
  unmount(): void;
}

/** @throws Error with the system's words where nothing can be mounted */
export function mountSmallDisk(sizeMb: number): SmallDisk {
  const path = mkdtempSync(join(tmpdir(), 'mullion-small-'));
  run('mount', ['-t', 'tmpfs', '-o', `size=${sizeMb}m,mode=0755`, 'mullion-small', path]);
  const ballast = join(path, 'ballast');
  return {
    path,
    fill() {
      const file = openSync(ballast, 'a');
      try {
        for (const chunk of [1 << 20, 4096, 1]) {
          const zeros = Buffer.alloc(chunk);
          try {
            while (writeSync(file, zeros) === chunk);
          } catch (error) {
            if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
          }
        }
      } finally {
        closeSync(file);
      }
    },
    free() {
      rmSync(ballast, { force: true });
    },
    unmount() {
      run('umount', [path]);
      rmSync(path, { recursive: true });
    },
  };
}

function run(program: string, args: string[]): void {
  const { status, stderr } = spawnSync(program, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${program} ${args.join(' ')}: ${stderr.trim()}`);
}
