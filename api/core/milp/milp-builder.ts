import type { MilpModel, MilpRow, MilpVariable } from './milp-model.ts';

/** Collects variables and rows; variables are named by the index `addVariable` returns. */
export interface MilpBuilder {
  addVariable(variable: MilpVariable): number;
  addRow(row: MilpRow): void;
  build(): MilpModel;
}

/** A fresh, empty model under construction. */
export function milpBuilder(): MilpBuilder {
  const variables: MilpVariable[] = [];
  const rows: MilpRow[] = [];
  return {
    addVariable: (variable) => variables.push(variable) - 1,
    addRow: (row) => {
      rows.push(row);
    },
    build: () => ({ variables, rows }),
  };
}
