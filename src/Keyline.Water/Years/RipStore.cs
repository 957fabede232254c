namespace Keyline.Water;

/// <summary>What rips keep of the water that runs to them, at one place that stands for a field.</summary>
/// <remarks>
/// <para>Units: metres, seconds; storage in square metres, that is cubic metres a metre of line. Promises: never more than runs to them; nothing from a rip of depth 0.</para>
/// <para>Each line gets what runs off its spacing. The share of its length that works takes in what its walls and floor take, holds what its loosened soil and furrow hold, and spills the
/// rest: on a grade the low places of a line are full while the high ones are not, so not all of it works. Cost: a square root a step. Source: ours, the rip of <see cref="StormRun"/>
/// without the land about it; <see cref="Calibrate"/> sets the share by a storm run on the plan itself.</para>
/// </remarks>
public static class RipStore
{
    private const double Recession = 3600;

    /// <summary>What is kept of a storm's runoff, metres over the field.</summary>
    /// <param name="rip">The rip as it is by then.</param>
    /// <param name="soil">The soil with the room it has on that day.</param>
    /// <param name="spacing">Metres from line to line.</param>
    /// <param name="works">Share of a line's length that works, 0 to 1.</param>
    /// <param name="times">Seconds at which runoff is known, growing.</param>
    /// <param name="runoff">Metres that ran off by then, never falling.</param>
    public static double Kept(Rip rip, SoilColumn soil, double spacing, double works, IReadOnlyList<double> times, IReadOnlyList<double> runoff)
    {
        ArgumentNullException.ThrowIfNull(rip);
        ArgumentNullException.ThrowIfNull(soil);
        ArgumentNullException.ThrowIfNull(times);
        ArgumentNullException.ThrowIfNull(runoff);
        if (rip.Depth == 0 || !(works > 0))
        {
            return 0;
        }

        double room = Room(rip);
        double gathers = spacing / works;
        RipIntake intake = new(rip, soil);
        double held = 0, soaked = 0, spilled = 0, came = 0;
        for (int i = 1; i < times.Count; i++)
        {
            double comes = (runoff[i] - runoff[i - 1]) * gathers;
            came += comes;
            held += comes;
            double takes = intake.Of(soaked, held, times[i] - times[i - 1]);
            (soaked, held) = (soaked + takes, held - takes);
            double over = Math.Max(held - room, 0);
            (spilled, held) = (spilled + over, held - over);
        }

        return Math.Max(came - spilled, 0) / gathers;
    }

    /// <summary>What a rip holds before it spills, square metres: the air of its loosened soil and its furrow.</summary>
    /// <param name="rip">The rip.</param>
    public static double Room(Rip rip)
    {
        ArgumentNullException.ThrowIfNull(rip);
        return rip.Depth == 0 ? 0 : rip.SlotStorage + (rip.FurrowSide * rip.FurrowDepth * rip.FurrowDepth);
    }

    /// <summary>The share of the lines that works, so that this place keeps of a storm what the plan was found to keep of it.</summary>
    /// <param name="rip">The rip.</param>
    /// <param name="soil">The soil.</param>
    /// <param name="spacing">Metres from line to line.</param>
    /// <param name="storm">The storm.</param>
    /// <param name="surfaceStorage">Depth that stands before any runs, metres.</param>
    /// <param name="runoffBefore">Metres that ran off the field as it is.</param>
    /// <param name="kept">Metres more that it kept with the plan.</param>
    /// <returns>The share, and runoff of the field over that of a place.</returns>
    public static (double Works, double FieldRunoff) Calibrate(Rip rip, SoilColumn soil, double spacing, Hyetograph storm, double surfaceStorage, double runoffBefore, double kept)
    {
        ArgumentNullException.ThrowIfNull(storm);
        PointRun point = PointInfiltration.Run(storm, soil, surfaceStorage, storm.Duration + Recession);
        double field = point.Runoff > 0 ? Math.Clamp(runoffBefore / point.Runoff, 0, 1) : 1;
        double[] times = [.. point.States.Select(s => s.Time)];
        double[] runoff = [.. point.States.Select(s => s.Runoff * field)];
        double low = 0, high = 1;
        for (int i = 0; i < 50; i++)
        {
            double middle = (low + high) / 2;
            (low, high) = Kept(rip, soil, spacing, middle, times, runoff) < kept ? (middle, high) : (low, middle);
        }

        return (high, field);
    }
}
