import { useState } from 'preact/hooks';
import { UNIT_SYSTEMS } from '#core/units/shown-units';
import { useApp } from '../../app-context.ts';
import { DECIMAL_SIGNS, LANGUAGE_NAMES, LANGUAGES, type Language } from '../../text/languages.ts';
import { format, manner, text } from '../../text/text.ts';
import { Choice } from '../verify/fields.tsx';

/** Language, units and decimal sign of this device; each choice shows at once. */
export function SettingsView() {
  const { screen } = useApp();
  const t = text.value;
  const s = t.settings;
  const { language, decimal, units, zone } = manner.value;
  const [notLoaded, setNotLoaded] = useState(false);
  const { measure } = format();
  const now = Date.now();

  async function speak(wanted: Language): Promise<void> {
    await screen.setLanguage(wanted);
    setNotLoaded(manner.value.language !== wanted);
  }

  return (
    <section class="sheet">
      <p>
        <a class="button" href="#/">
          {t.back}
        </a>
      </p>
      <h1>{s.title}</h1>
      <p>{s.intro}</p>
      <div class="form-sheet">
        <Choice
          name="language"
          legend={s.language}
          options={LANGUAGES.map(value => ({ value, label: LANGUAGE_NAMES[value] }))}
          value={language}
          pick={value => void speak(value)}
        />
        {screen.language.value === null && <p class="hint">{s.byBrowser(LANGUAGE_NAMES[language])}</p>}
        <div role="alert">{notLoaded && <p class="message nodata">{s.notLoaded}</p>}</div>
        <Choice
          name="units"
          legend={s.units}
          options={UNIT_SYSTEMS.map(value => ({ value, label: s.systems[value] }))}
          value={units}
          pick={value => screen.setUnits(value)}
        />
        <Choice
          name="decimal"
          legend={s.decimal}
          options={DECIMAL_SIGNS.map(value => ({ value, label: s.signs[value] }))}
          value={decimal}
          pick={value => screen.setDecimal(value)}
        />
        <p class="hint">{s.decimalHint}</p>
      </div>
      <h2>{s.example}</h2>
      <ul>
        <li>
          {t.changes.quantity['travelSpeed']}: {measure('travelSpeed', 7.62)}
        </li>
        <li>
          {t.changes.quantity['wireFeedSpeed']}: {measure('wireFeedSpeed', 171.45)}
        </li>
        <li>
          {t.changes.quantity['heatInput']}: {measure('heatInput', 0.62)}
        </li>
        <li>
          {t.jointEntries.quantity.preheatTemperature}: {measure('preheatTemperature', 120)}
        </li>
      </ul>
      <h2>{s.zoneTitle}</h2>
      <p>{zone === undefined ? s.zoneUnknown : s.zone(zone)}</p>
      <p>
        {format().moment(now)}, {format().zoneShort(now)}
      </p>
    </section>
  );
}
