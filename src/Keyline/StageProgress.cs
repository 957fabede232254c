namespace Keyline;

/// <summary>Tells how far one stage has come, from any thread: shares only grow, and none is told that grew by less than a hundredth.</summary>
internal sealed class StageProgress
{
    private const double Least = 0.01;

    private readonly IProgress<PlanProgress>? _progress;
    private readonly string _stage;
    private readonly Lock _telling = new();
    private double _told;

    /// <summary>Begins a stage.</summary>
    public StageProgress(IProgress<PlanProgress>? progress, string stage)
    {
        (_progress, _stage) = (progress, stage);
        progress?.Report(new PlanProgress(stage, 0));
    }

    /// <summary>Tells a share, 0 to 1.</summary>
    public void Report(double share)
    {
        share = Math.Min(share, 1);
        if (_progress is null || !(share >= _told + Least || (share >= 1 && _told < 1)))
        {
            return;
        }

        lock (_telling)
        {
            if (share > _told)
            {
                _told = share;
                _progress.Report(new PlanProgress(_stage, share));
            }
        }
    }
}
