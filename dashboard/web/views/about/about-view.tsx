import { format, text } from '../../text/text.ts';
import { StoreCheck } from '../joints/disposition/record-check.tsx';
import { SigningKey } from './signing-key.tsx';
import { TruckRoom } from './truck-room.tsx';

/** Cautions, and how the screen is to be read. */
export function AboutView() {
  const t = text.value;
  const c = t.caution;
  return (
    <section class="sheet">
      <p>
        <a class="button" href="#/">
          {t.back}
        </a>
      </p>
      <h1>{c.title}</h1>
      <p>
        <strong>{c.device}</strong>
      </p>
      <p>
        <strong>{c.acceptance}</strong>
      </p>
      <p>
        <strong>
          {c.example} {c.missing}
        </strong>
      </p>
      <h2>{c.hazardsTitle}</h2>
      <ul>
        {c.hazards.map(line => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <SigningKey />
      <StoreCheck />
      <h2>{c.readTitle}</h2>
      <ul>
        {c.read.map(line => (
          <li key={line}>{line}</li>
        ))}
        <li>{c.zone(format().zone)}</li>
      </ul>
      <TruckRoom />
    </section>
  );
}
