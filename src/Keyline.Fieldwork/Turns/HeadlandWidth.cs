using Keyline.Field;
using Keyline.Planar;

namespace Keyline.Fieldwork;

/// <summary>The width that turning takes beyond the ends of lines that meet the boundary squarely.</summary>
/// <remarks>
/// <para>Units: metres, from the fence to the lines' ends, with the room that <see cref="DrivableGround"/> leaves. Promises: every such row change
/// fits within it; ends that meet the boundary aslant may need more, which a look at the turns themselves tells. Cost: a few hundred ways.</para>
/// <para>Source: the swept outline of the shortest turns, computed here.</para>
/// </remarks>
public static class HeadlandWidth
{
    /// <summary>For a turn forward into a row two radii away or farther, rows between being left for later.</summary>
    /// <param name="machine">The machine.</param>
    public static double SkippingRows(Machine machine)
    {
        ArgumentNullException.ThrowIfNull(machine);
        return Least(machine, [2 * machine.Implement.RadiusLifted, 2.5 * machine.Implement.RadiusLifted], false);
    }

    /// <summary>For a loop forward into the next row.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="spacing">Distance between rows, metres.</param>
    public static double NextRow(Machine machine, double spacing)
    {
        ArgumentNullException.ThrowIfNull(machine);
        return Least(machine, [spacing], false);
    }

    /// <summary>For a turn into the next row with one stretch backward; NaN for a trailed implement, which is not reversed.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="spacing">Distance between rows, metres.</param>
    public static double NextRowReversing(Machine machine, double spacing)
    {
        ArgumentNullException.ThrowIfNull(machine);
        return machine.Implement.Hitch == HitchKind.Trailed ? double.NaN : Least(machine, [spacing], true);
    }

    /// <summary>The width to plan with: that of turns that skip rows, or of reversing ones where those take less; up to the next half metre.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="spacing">Distance between rows, metres.</param>
    public static double Automatic(Machine machine, double spacing)
    {
        double least = SkippingRows(machine), reversing = NextRowReversing(machine, spacing);
        return Math.Ceiling(2 * (reversing < least ? reversing : least)) / 2;
    }

    // The field is the half plane below the fence at y = 0; the lines end a width below it and run square to it.
    private static double Least(Machine machine, double[] apart, bool reversing)
    {
        SweptOutline outline = new(machine);
        double widest = 0;
        foreach (double d in apart)
        {
            Pose exit = new(0, 0, Math.PI / 2), entry = new(d, 0, -Math.PI / 2);
            Pose from = exit.Ahead(machine.AxleToShank), to = entry.Ahead(machine.AxleToShank);
            IEnumerable<TurnPath> ways = reversing
                ? ReversingTurns.Between(from, to, machine.Implement.RadiusLifted).Where(w => w.ReverseLength > 0 && w.Changes <= 2)
                : Forward(machine, from, to);

            // Forward the shortest way is driven: others would loop back over the rows. Of those with a reverse whichever reaches least far.
            widest = Math.Max(widest, (reversing ? ways : ways.Take(1)).Select(w => outline.Along(w).Max(p => p.Y)).DefaultIfEmpty(double.NaN).Min());
        }

        return widest + DrivableGround.Clearance;
    }

    private static IEnumerable<TurnPath> Forward(Machine machine, Pose from, Pose to)
    {
        double straight = machine.Implement.Hitch == HitchKind.Trailed ? machine.AxleToShank + (1.5 * machine.Implement.HitchToShank) : 0;
        Pose before = to.Ahead(-straight);
        return ForwardTurns.Between(from, before, machine.Implement.RadiusLifted).Select(w => w.Then(new TurnPath(before, [new TurnPiece(straight, 0)])));
    }
}
