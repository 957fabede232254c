namespace Keyline.Fieldwork;

/// <summary>A stretch of a job that goes on one sheet: about a day's work.</summary>
/// <param name="Number">Its place, from 1.</param>
/// <param name="Stops">Its lines in the order they are driven.</param>
/// <param name="Hours">Hours it takes where the soil takes the usual draft; NaN where the machine does not pull it.</param>
public sealed record WorkBlock(int Number, IReadOnlyList<WorkStop> Stops, double Hours)
{
    /// <summary>Length in the ground, metres.</summary>
    public double Length => Stops.Sum(s => s.Course.Length);

    /// <summary>Divides a job into days.</summary>
    /// <remarks>Promises: as many days as the hours ask for, of nearly the same length; each line in one of them, in order.</remarks>
    /// <param name="job">The job.</param>
    public static IReadOnlyList<WorkBlock> ByDay(WorkJob job)
    {
        ArgumentNullException.ThrowIfNull(job);
        double speed = job.Pull.Speed.Usual > 0 ? job.Pull.Speed.Usual : job.Machine.SlowestSpeed, all = job.Stops.Sum(Seconds);
        double scale = job.Usual is { } usual && all > 0 ? usual.Hours / (all / 3600) : 1;
        int days = Math.Max(1, (int)Math.Ceiling((scale * all / 3600 / job.Options.HoursADay) - 1e-9));
        List<WorkStop>[] parts = [.. Enumerable.Range(0, days).Select(_ => new List<WorkStop>())];
        double done = 0;
        foreach (WorkStop stop in job.Stops)
        {
            // A line goes to the day that its middle falls into.
            double middle = done + (Seconds(stop) / 2);
            parts[Math.Min(days - 1, (int)(middle / all * days))].Add(stop);
            done += Seconds(stop);
        }

        return [.. parts.Where(p => p.Count > 0).Select((p, i) => new WorkBlock(i + 1, p, job.Usual is null ? double.NaN : scale * p.Sum(Seconds) / 3600))];

        double Seconds(WorkStop stop) => (stop.Course.Length / speed) + (stop.Change?.Seconds ?? 0) + (2 * job.Machine.Implement.LiftTime);
    }
}
