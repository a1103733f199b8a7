/** Told with every drawing; counted up when the same picture may give another one. */
export const READING_VERSION = '4';
