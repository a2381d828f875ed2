import type { Entry, EntryBody } from '#core/journal/entry';
import { whenText } from '../../parts/when-text.ts';
import { oClockText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import { shownTemperatureUnit, temperatureText, UNIT_WORD } from './temperature-unit.ts';

type Opened = Extract<EntryBody, { kind: 'jointOpened' | 'jointChanged' }>;

function particularsWords(body: Opened): string {
  const { words: w, upstream, downstream } = text.value.jointEntries;
  const { upstreamPipe, downstreamPipe, procedureId, procedureRevision } = body;
  const parts = [
    body.station,
    body.scope,
    upstreamPipe && w.pipe(upstream, upstreamPipe.number, upstreamPipe.heat ?? ''),
    downstreamPipe && w.pipe(downstream, downstreamPipe.number, downstreamPipe.heat ?? ''),
    body.outsideDiameterMm && w.diameter(format().measure('size', body.outsideDiameterMm)),
    body.wallThicknessMm && w.wall(format().measure('size', body.wallThicknessMm)),
    procedureId && procedureRevision && w.wpsRevision(procedureId, String(procedureRevision)),
    body.weather,
  ].filter(part => typeof part === 'string' && part !== '');
  return [body.kind === 'jointOpened' ? w.opened : w.changed, ...parts].join(' · ');
}

/** An entry in one line, for the history. Texts people typed come out as they are: the page shows them as text. */
export function entryWords({ body }: Pick<Entry, 'body'>, nameOf: (id: string) => string): string {
  const t = text.value.jointEntries;
  const w = t.words;
  const who = (id: string | null): string => (id === null ? w.nobody : nameOf(id));
  const sideOf = (side: 'A' | 'B' | null): string =>
    side === null ? t.bothSides.toLowerCase() : text.value.sideOf(side);
  switch (body.kind) {
    case 'jointOpened':
    case 'jointChanged':
      return particularsWords(body);
    case 'consumables':
      return [
        t.tasks.lots,
        ...(body.wireLot === undefined ? [] : [w.wireLot(body.wireLot)]),
        ...(body.gasLot === undefined ? [] : [w.gasLot(body.gasLot)]),
      ].join(' · ');
    case 'temperatureReading': {
      const unit = shownTemperatureUnit();
      return [
        w.temperature(
          t.quantity[body.quantity],
          `${temperatureText(body.valueCel, unit)} ${UNIT_WORD[unit]}`,
          body.pass,
          body.clock === null ? w.allAround : w.atClock(oClockText(body.clock)),
        ),
        ...(body.instrument === undefined ? [] : [w.instrument(body.instrument)]),
        w.readAt(whenText(body.takenAt)),
      ].join(' · ');
    }
    case 'polarityConfirmed':
      return t.polarity[body.polarity];
    case 'crew':
      return w.crew(who(body.weldSetter), who(body.operatorA), who(body.operatorB));
    case 'layerRelease': {
      const line = body.released ? w.released(body.pass) : w.notReleased(body.pass);
      return body.note === undefined ? line : `${line}: ${body.note}`;
    }
    case 'hold':
      return body.on ? w.holdOn : w.holdOff;
    case 'loggedElsewhere':
      return w.elsewhere(body.pass, sideOf(body.side), body.weldedBy, body.how, whenText(body.weldedAt));
    case 'passMoved':
      return w.moved(w.place(body.joint, sideOf(body.side), body.pass));
    case 'disposition':
      return w.disposition(text.value.dispositions.decisions[body.decision]);
    case 'passphraseSet':
      return w.passphraseSet(who(body.person));
    case 'qualification':
      return w.qualification(who(body.person), body.process, body.range, body.expires);
    default:
      return w.other(body.kind);
  }
}
