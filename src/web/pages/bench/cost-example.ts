/** Assumptions to begin with, all invented; the comments are the manual. */
export const EXAMPLE = `# Sums in cents (whole), shares from 0 to 1; all invented: put your own.
# A guess may be a number, or low/likely/high, or mean/sd, or a list of values.
currency: EUR
unit:                     # where no batch is named
  name: Trial unit
  material_minor: { low: 3900, likely: 4200, high: 4800 }
  labour_min: 75          # the first one; the curve below makes later ones shorter
labour:
  rate_minor_h: 2400
  learningRate: 0.9       # time left with each doubling
  madeBefore: 30
batch: 60
yieldShare: { low: 0.9, likely: 0.95, high: 0.99 }
returns: { share: 0.04, cost_minor: 2500 }
fees: { share: 0.05, fixed_minor: 35 }
tax_pct: 20
margin: 0.35
fixed_minor: 180000       # test house, jigs, registrations: once
salvage_minor: 3000
demand:                   # where no orders are known
  months: [4, 7, 5, 9, 6, 8]
  ahead_months: 6
  lead_months: 1.5
housing:
  bought: { fixed_minor: 0, unit_minor: { low: 1300, likely: 1400, high: 1600 } }
  tool:
    fixed_minor: { low: 210000, likely: 230000, high: 300000 }
    unit_minor: { low: 220, likely: 250, high: 350 }
    yieldShare: { low: 0.9, likely: 0.97, high: 0.99 }
  demand: { low: 120, likely: 300, high: 600 }
ways:
  - { key: parts, name: Parts with instructions, parts_minor: 4200, labour_min: 20, support_min: 35, returnShare: 0.05, returnCost_minor: 1800, packing_minor: 350, price_minor: 8500, demand_month: 4 }
  - { key: whole, name: Assembled and tested, parts_minor: 4200, labour_min: 55, support_min: 10, returnShare: 0.04, returnCost_minor: 2500, packing_minor: 400, yieldShare: 0.95, price_minor: 11900, demand_month: 6 }
`;
