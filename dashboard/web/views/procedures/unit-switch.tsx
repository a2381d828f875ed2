import { text } from '../../text/text.ts';
import { Choice } from '../verify/fields.tsx';
import { setUnitSystem, UNIT_SYSTEMS, unitSystem } from './unit-system.ts';

/** In which units this device shows procedures. */
export function UnitSwitch() {
  const t = text.value.procedures;
  return (
    <Choice
      name="unit-system"
      legend={t.units}
      options={UNIT_SYSTEMS.map(system => ({ value: system, label: t.systems[system] }))}
      value={unitSystem().value}
      pick={setUnitSystem}
    />
  );
}
