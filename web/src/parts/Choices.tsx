/** A question with big answers, one of which may be chosen. */
interface Props {
  /** The question. */
  label: string;
  /** Answers, as words of the record. */
  values: readonly string[];
  /** What each is called. */
  names: Record<string, string>;
  chosen: string;
  onChoose: (value: string) => void;
}

export function Choices({ label, values, names, chosen, onChoose }: Props) {
  return (
    <div role="group" aria-label={label} class="choices">
      {values.map((value) => (
        <button type="button" key={value} aria-pressed={chosen === value} onClick={() => onChoose(value)}>
          {names[value] ?? value}
        </button>
      ))}
    </div>
  );
}
