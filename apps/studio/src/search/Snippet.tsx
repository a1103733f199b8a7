/** A snippet whose found words stand between « and », as the archive marks them. */
export function Snippet({ text }: { text: string }) {
  return (
    <>
      {text.split(/«(.*?)»/g).map((part, index) =>
        index % 2 === 1 ? (
          // Parts have no identity but their place.
          <mark key={`${index} ${part}`}>{part}</mark>
        ) : (
          part
        ),
      )}
    </>
  );
}
