import { UNIT_SYSTEMS } from '#core/units/shown-units';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { Choice } from '../verify/fields.tsx';
import { unitSystem } from './unit-system.ts';

/** In which units this device shows everything. */
export function UnitSwitch() {
  const { screen } = useApp();
  const t = text.value.procedures;
  return (
    <Choice
      name="unit-system"
      legend={t.units}
      options={UNIT_SYSTEMS.map(system => ({ value: system, label: t.systems[system] }))}
      value={unitSystem().value}
      pick={system => screen.setUnits(system)}
    />
  );
}
