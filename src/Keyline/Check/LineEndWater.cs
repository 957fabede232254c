using Keyline.Field;
using Keyline.Planar;
using NetTopologySuite.Geometries;

namespace Keyline.Check;

/// <summary>Where a line lets its water go: on wet ground, or above a drop that it would cut into.</summary>
/// <remarks>
/// <para>Units: metres and percent. An end lets water go where the last base of the line (<see cref="LineMeasures.GradeBase"/>)
/// falls toward it by more than <see cref="LineMeasures.LevelGrade"/>.</para>
/// <para>A drop lies below an end where, within <see cref="Reach"/> metres of it on a straight way that never climbs above it,
/// the ground falls over <see cref="DropBase"/> metres by a quarter more than the steepest land that is worked, or where the
/// land a machine stands on is a tenth steeper than that on the way that water takes. Ends at a stable outlet are spared.</para>
/// <para>Source: ours; that water let go above a head cut or a bank feeds it is common knowledge, no source.</para>
/// </remarks>
internal static class LineEndWater
{
    /// <summary>How far below an end is looked, metres, and no less than three cells.</summary>
    private const double Reach = 12.0;

    /// <summary>Over what a drop is measured, metres, and no less than a cell.</summary>
    private const double DropBase = 5.0;

    private const int Directions = 24;
    private const double Backward = -0.5;
    private const double Climb = 0.1;
    private const double PlainDrop = 1.25;
    private const double PlainlySteeper = 1.1;

    public static IEnumerable<LayoutFinding> Find(string id, SampledLine line, CheckGround ground, LineLimits limits)
    {
        if (line.Path.Closed || line.Path.Count < 2)
        {
            yield break;
        }

        for (int e = 0; e < 2; e++)
        {
            int last = line.Path.Count - 1;
            XY end = line.At(e == 0 ? 0 : last);
            double fall = e == 0 ? line.Heights[line.Width] - line.Heights[0] : line.Heights[last - line.Width] - line.Heights[last];
            if (!(fall / (line.Width * line.Step) * 100 > LineMeasures.LevelGrade))
            {
                continue;
            }

            foreach (LayoutFinding wet in Wet(id, end, ground, limits))
            {
                yield return wet;
            }

            XY away = (end - line.At(e == 0 ? Math.Min(line.Width, last) : last - line.Width)).Unit();
            (double slope, double distance) = Below(end, away, ground, limits.SteepestLand);
            if (!double.IsNaN(slope) && ground.OutletDistance(end) > CheckGround.OutletReach(limits))
            {
                double falling = FallTo(line, e == 0);
                (string found, string worked) = Digits.Apart(slope, limits.SteepestLand, 0, "0.#");
                string where = distance < 0.5 ? "right" : FormattableString.Invariant($"{distance:F0} m");
                yield return new LayoutFinding(
                    FindingKind.EndsAboveDrop,
                    id,
                    end.X,
                    end.Y,
                    FormattableString.Invariant($"Line {id} falls {falling:F0} m to its end, {where} above ground that drops at {found} %, steeper than the {worked} % that is worked: its water would cut in there."))
                { Value = slope, Limit = limits.SteepestLand, Length = falling };
            }
        }
    }

    private static IEnumerable<LayoutFinding> Wet(string id, XY end, CheckGround ground, LineLimits limits)
    {
        double reach = CheckGround.OutletReach(limits);
        foreach (AvoidedArea wet in ground.Wet)
        {
            double near = wet.KeptClear.Distance(wet.Shape.Factory.CreatePoint(new Coordinate(end.X, end.Y)));
            if (near <= reach)
            {
                string name = wet.Name.Length > 0 ? wet.Name : "a wet or saline area";
                yield return new LayoutFinding(FindingKind.DrainsToWet, id, end.X, end.Y, FormattableString.Invariant($"Line {id} leads water to {name}, {near:F1} m from its setback.")) { Value = near, Limit = reach };
            }
        }
    }

    // How far a line falls toward an end without a break, metres.
    private static double FallTo(SampledLine line, bool start)
    {
        int last = line.Windows - 1;
        int count = 0;
        while (count <= last && (start ? line.Grade(count) > 0 : line.Grade(last - count) < 0))
        {
            count++;
        }

        return Math.Min(Math.Max(count + line.Width - 1, 0) * line.Step, line.Path.Length());
    }

    // The steepest drop below an end and how far off it begins; NaN where there is none.
    private static (double Slope, double Distance) Below(XY end, XY away, CheckGround ground, double worked)
    {
        double cell = ground.Ground.Frame.CellSize;
        int run = (int)Math.Ceiling(Math.Max(DropBase, cell));
        int reach = (int)Math.Ceiling(Math.Max(Reach, 3 * cell));
        double height = ground.Ground.HeightAt(end.X, end.Y);
        double steepest = PlainDrop * worked;
        (double Slope, double Distance) found = (double.NaN, double.NaN);
        double[] way = new double[reach + 1];
        for (int k = 0; k < Directions; k++)
        {
            (double sine, double cosine) = Math.SinCos(2 * Math.PI * k / Directions);
            XY direction = new(cosine, sine);
            if (direction.Dot(away) < Backward)
            {
                continue;
            }

            for (int s = 0; s <= reach; s++)
            {
                XY p = end + (direction * s);
                way[s] = ground.Ground.HeightAt(p.X, p.Y);
                if (!(way[s] <= height + Climb))
                {
                    break;
                }

                double drop = s < run ? 0 : 100 * (way[s - run] - way[s]) / run;
                if (drop > steepest)
                {
                    (steepest, found) = (drop, (drop, s - run));
                }
            }
        }

        return double.IsNaN(found.Slope) ? OnLand(end, ground, PlainlySteeper * worked, reach) : found;
    }

    // Down the land a machine stands on, as water goes.
    private static (double Slope, double Distance) OnLand(XY end, CheckGround ground, double steepest, int reach)
    {
        XY p = end;
        for (int s = 0; s <= reach; s++)
        {
            XY g = ground.LandGradient(p);
            if (100 * g.Norm > steepest)
            {
                return (100 * g.Norm, s);
            }

            if (!(g.Norm > 0))
            {
                break;
            }

            p -= g.Unit();
        }

        return (double.NaN, double.NaN);
    }
}
