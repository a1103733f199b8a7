/** Version of the program, as in package.json; the API document carries it too. */
export const PROGRAM_VERSION = '0.1.0';
