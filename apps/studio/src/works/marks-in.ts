/** Marks as somebody types them, with commas or spaces between. */
export const marksIn = (text: string): string[] =>
  text.split(/[\s,;]+/).filter((mark) => mark !== '');
