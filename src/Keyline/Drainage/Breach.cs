namespace Keyline.Drainage;

/// <summary>A cut that lets a hollow out.</summary>
/// <param name="PitRow">Row of the pit it starts from.</param>
/// <param name="PitColumn">Column of the pit.</param>
/// <param name="EndRow">Row of the cell it leads to: lower than the pit, or where water leaves the grid.</param>
/// <param name="EndColumn">Column of that cell.</param>
/// <param name="Length">Metres along it.</param>
/// <param name="Depth">Deepest cut below the ground as it was, metres.</param>
public sealed record Breach(int PitRow, int PitColumn, int EndRow, int EndColumn, double Length, double Depth);
