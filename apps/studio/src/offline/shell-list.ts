/** The files of one build of the studio. */
export interface ShellList {
  readonly version: string;
  /** paths from the root; the page itself is `/index.html` */
  readonly files: readonly string[];
}

/** Whether a path may come from the device: files of a build, whose names change with their content. */
export const toKeep = (path: string, { files }: ShellList): boolean =>
  path !== '/index.html' && (path.startsWith('/assets/') || files.includes(path));
