using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>What a job costs.</summary>
/// <remarks>Units: money, and money an hour, a hectare and a kilometre of pass. Source: <see cref="HourlyCost"/>.</remarks>
/// <param name="Hour">An hour, by its parts.</param>
/// <param name="Total">All of it.</param>
/// <param name="AHectare">A hectare worked; NaN where the spacing is not known.</param>
/// <param name="AKilometre">A kilometre in the ground.</param>
public sealed record JobCost(HourlyCost Hour, double Total, double AHectare, double AKilometre)
{
    /// <summary>The cost of a job, or null where the machine has no prices or is not pulled.</summary>
    /// <param name="job">The job.</param>
    /// <param name="times">The hours to price: easy, usual or hard.</param>
    public static JobCost? Of(WorkJob job, WorkTimes? times)
    {
        ArgumentNullException.ThrowIfNull(job);
        if (job.Machine.Prices is not { } prices || times is null)
        {
            return null;
        }

        HourlyCost hour = HourlyCost.Of(job.Machine, prices, times.Litres / times.Hours);
        double total = hour.Total * times.Hours;
        return new JobCost(hour, total, total / job.Hectares, total / (job.Length / 1000));
    }
}
