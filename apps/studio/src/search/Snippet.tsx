/** A snippet whose found words stand between `<b>` and `</b>`; nothing else in it is markup. */
export function Snippet({ text }: { text: string }) {
  return (
    <>
      {text.split(/<b>(.*?)<\/b>/g).map((part, index) =>
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
